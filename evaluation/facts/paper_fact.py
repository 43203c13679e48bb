"""The noun of a paper fact: computed from readings of the bare paper, with where its formula comes from."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PaperFact:
    """One fact of the bare paper.

    value      None where it could not be worked out; `why` then says why
    source     of the formula, and how sure that is: a mark of `published.passport`
    condition  of the reading it was made from
    """

    id: str
    title: str
    value: float | None
    unit: str
    shown: str
    why: str
    condition: str
    source: str
    mark: str
    tells_not: str
