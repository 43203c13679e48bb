"""What an appendix is made of: one case a session, the tables in force, and what its writer chose."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal, get_args

from evaluation.appendix.photographs import Attached
from evaluation.appendix.style import NO_STYLE, Paper, Style
from evaluation.appendix.style import PAPERS as PAPERS  # what screens choose from
from evaluation.judgement.opinion import Finding, Weighing
from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Evidence
from evaluation.readings.run import Taken
from evaluation.session import Session, Viewing
from evaluation.sheet.layout import Sheet
from evaluation.telling.neutrality.prints import Greys

Parts = Literal["article", "whole", "summary", "neutrality"]
Naming = Literal["role", "name"]
PARTS: Final[tuple[Parts, ...]] = get_args(Parts)
NAMINGS: Final[tuple[Naming, ...]] = get_args(Naming)


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """One session as the appendix sees it.

    weighing  what `work.weigh` gave: regions the eye has not graded hold no number
    shown     ids of the regions whose readings may be shown; nothing read in any other appears
    findings  the same weighing as the JSON document of `drydown weigh --json`
    evidence  the matched patches of the regions in `shown`, by region id
    greys     its neutrality record, where a neutral scale was read and may be shown
    black_from  where the depth of the aim's black came from, a word of `metrics.gather`
    """

    session: Session
    sheet: Sheet
    weighing: Weighing
    shown: frozenset[str]
    findings: Mapping[str, Any]
    taken: tuple[Taken, ...] = ()
    evidence: Mapping[str, Evidence] = field(default_factory=dict)
    black_from: str = ""
    photographs: tuple[Attached, ...] = ()
    greys: Greys | None = None

    @property
    def looked(self) -> tuple[Finding, ...]:
        """The findings that may carry numbers, in the order of the sheet."""
        return tuple(finding for finding in self.weighing.findings if finding.region in self.shown)


@dataclass(frozen=True, slots=True)
class Choices:
    """How much is written, and whether observers stand under the names they gave.

    article  page 1, where the print departs, the rest in tables
    whole    the article with its annexe: every answer, every number, every source
    summary  page 1 alone
    paper    of a PDF; None: what the house style says
    """

    parts: Parts = "article"
    observers: Naming = "role"
    paper: Paper | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Edition:
    """What holds for all sessions of one appendix: version, the date of writing, the tables in force."""

    version: str
    written: str
    tables: Tables
    shipped: Tables
    choices: Choices = Choices()
    style: Style = NO_STYLE


def observer_words(session: Session, viewing: Viewing, naming: Naming) -> str:
    """An observer by the name that was typed, or by role, which stays the same in every section."""
    return viewing.observer if naming == "name" else session.role(viewing.observer)


def viewing_words(session: Session, viewing: Viewing, naming: Naming) -> str:
    """A viewing by its number and observer, and that it is set aside where it is."""
    words = f"viewing {viewing.ordinal}, {observer_words(session, viewing, naming)}"
    return f"{words}, set aside" if viewing.aside else words
