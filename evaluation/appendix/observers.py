"""Several observers of one print: a column each, all of them as one grade, how alike they are."""

from collections.abc import Collection
from dataclasses import dataclass

from evaluation.appendix.case import Naming
from evaluation.appendix.document import Block, Points, Section
from evaluation.telling import observers as words
from evaluation.telling.table import typeset
from evaluation.telling.wording import sentence


@dataclass(frozen=True, slots=True)
class OfPrint:
    """What several observers made of the print of a session, and the sentences on it."""

    session: int
    found: words.Several
    told: tuple[str, ...]


def by_observer(
    prints: tuple[OfPrint, ...], naming: Naming, *, known: Collection[str] = (), alone: bool
) -> tuple[Section, ...]:
    """A section for each print that several people graded; observers by role, or by the names they gave.

    `known`: sentences that the document says elsewhere.
    """
    return tuple(_section(one, naming, known, alone=alone) for one in prints)


def _section(one: OfPrint, naming: Naming, known: Collection[str], *, alone: bool) -> Section:
    told = [each for each in map(sentence, one.told) if each not in known]
    blocks: tuple[Block, ...] = (
        typeset(words.table(one.found, by_name=naming == "name", alike=True)),
        Points("How alike they graded", tuple(told)),
    )
    title = "Several observers" if alone else f"Session {one.session}: several observers"
    return Section(f"session-{one.session}-observers", title, blocks)
