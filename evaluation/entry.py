"""The log of entries that a person made. Standard library only.

Every key press of value is one `Entry`. Its payload never changes; undo only takes it out of the fold
(`fold.py`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, Literal, get_args

from evaluation.session import Cast, Count, Grade, Pick, Place, Value, YesNo

EntryKind = Literal[
    "condition",  # subject: field of PrintingCondition; value: text, number, true/false, list of texts;
    # or "fact/kind", of which no result is made; value: its parts by name
    "readiness",  # subject: item of READINESS; value: {"mark", "detail"}
    "timer",  # subject: "adaptation"; value: time it was started
    "answer",  # subject: "region/question"; value: see `encoded`
    "fault",  # subject: "region/fault"; value: {"where"}; "region/" with {"none": true}: no fault there
    "again",  # subject: region; value: true
    "remark",  # subject: region, or a step outside Look; value: text
    "reveal",  # subject: region; value: true; cannot be undone
    "attachment",  # subject: "region/fault"; value: {"digest", "caption"}
    "readings",  # subject: id of the run; value: "in" or "out"
    "written",  # subject: digest of an appendix; value: {"file"}
]
ENTRY_KINDS: Final[tuple[EntryKind, ...]] = get_args(EntryKind)


FACT: Final = "fact/"  # how the subject of a fact for readers begins


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry about to be made. `value` is plain JSON; None withdraws the entry on the subject."""

    kind: EntryKind
    subject: str
    value: Any
    viewing: int | None = None
    after_reveal: bool = False


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry as the archive keeps it. Entries of one key press share `action`."""

    id: int
    kind: EntryKind
    subject: str
    value: Any
    at: datetime
    action: int
    viewing: int | None = None
    after_reveal: bool = False


def encoded(value: Value) -> dict[str, Any]:
    """The JSON form of an answer: one key that names its kind.

    >>> encoded(Grade(4)), encoded(Pick((12, 47)))
    ({'grade': 4}, {'pick': [12, 47], 'outside': None})
    """
    match value:
        case Grade():
            return {"grade": value.value}
        case Count():
            return {"count": value.number}
        case Cast():
            return {"cast": [list(part) for part in value.parts]}
        case Pick():
            return {"pick": list(value.numbers), "outside": value.outside}
        case Place():
            return {"place": [list(place) for place in value.places]}
        case YesNo():
            return {"yesno": value.yes}


def decoded(value: Mapping[str, Any]) -> Value:
    """The answer that `encoded` wrote. Raises ValueError when it is none of the six kinds."""
    match value:
        case {"grade": int(grade)}:
            return Grade(grade)
        case {"count": int(number)}:
            return Count(number)
        case {"cast": [*parts]}:
            return Cast(tuple((str(part), word, strength) for part, word, strength in parts))
        case {"pick": [*numbers], "outside": outside}:
            return Pick(tuple(int(number) for number in numbers), outside)
        case {"place": [*places]}:
            return Place(tuple((str(name), step) for name, step in places))
        case {"yesno": bool(yes)}:
            return YesNo(yes)
    raise ValueError(f"not an answer: {value!r}")
