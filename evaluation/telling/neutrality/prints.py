"""The nouns of a neutrality record as it is told: a print, the tone wanted of it, and prints side by side."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from evaluation.judgement.greys import NeutralityRecord
from evaluation.judgement.greys_compared import GreysCompared
from evaluation.judgement.toning import Family, Toning
from evaluation.session import Session
from evaluation.sheet.layout import NeutralAim, Sheet

Kind = Literal["neutral", "side", "like", "other"]
_AIMS: Final[Mapping[NeutralAim, str]] = {
    "line": "a line from the paper to neutral",
    "absolute": "a* and b* of 0",
    "toned": "the sheet's own tone",
}


@dataclass(frozen=True, slots=True)
class Tone:
    """What was said, and what it means. `reference` is a session; `caveat` goes with the result."""

    said: str
    kind: Kind
    family: Family | None = None
    reference: int | None = None
    caveat: str = ""

    @property
    def against(self) -> str:
        """What the greys are held against, as in "against the paper's own grey"."""
        if self.kind == "like":
            return f"the tone of session {self.reference}"
        return "the paper's own grey"


@dataclass(frozen=True, slots=True, eq=False)
class Greys:
    """One print of a record. `record` None: `why` says so, and `hidden` that it only waits for a grade.

    name      what tells it from the others: its mode, quality, paper
    toning    where a side was wanted, warm or cool: how it leans
    hours     age of the print when it was read last; None: the stated times do not tell it
    """

    session: Session
    sheet: Sheet
    name: str
    tone: Tone
    record: NeutralityRecord | None
    why: str = ""
    hidden: bool = False
    toning: Toning | None = None
    sentence: str = ""
    hours: float | None = None
    caveats: tuple[str, ...] = ()

    @property
    def id(self) -> int:
        return self.session.id

    @property
    def against(self) -> str:
        """What its greys are held against, in words."""
        if self.record is not None and self.tone.kind != "like":
            return _AIMS.get(self.record.aim, self.tone.against)
        return self.tone.against


@dataclass(frozen=True, slots=True, eq=False)
class Neutrality:
    """Prints in the order they were asked for; the most neutral of them against every other, and in words.

    order   sessions by their worst third, the most neutral first; empty where a tone keeps them from a rank
    quote   one sentence for a review, "" for a single print
    """

    prints: tuple[Greys, ...]
    order: tuple[int, ...]
    beside: tuple[GreysCompared, ...]
    quote: str
    caveats: tuple[str, ...]

    def of(self, session_id: int) -> Greys:
        return next(one for one in self.prints if one.id == session_id)

    @property
    def known(self) -> tuple[Greys, ...]:
        """The prints that have a record."""
        return tuple(one for one in self.prints if one.record is not None)
