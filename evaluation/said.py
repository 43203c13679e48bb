"""The log of what a person said, and the fold from its live entries to a session. Standard library only.

Every key press of value is one `Entry`. Its payload never changes; undo only takes it out of the fold.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import datetime
from typing import Any, Final, Literal, get_args

from evaluation.session import (
    Answer,
    Cast,
    Count,
    Fault,
    Grade,
    Pick,
    Place,
    PrintingCondition,
    Readiness,
    Session,
    Value,
    Viewing,
    YesNo,
)

EntryKind = Literal[
    "condition",  # subject: field of PrintingCondition; value: text, number, true/false, list of texts
    "readiness",  # subject: item of READINESS; value: {"mark", "detail"}
    "timer",  # subject: "adaptation"; value: time it was started
    "answer",  # subject: "region/question"; value: see `encoded`
    "fault",  # subject: "region/fault"; value: {"where"}; "region/" with {"none": true}: there are none
    "again",  # subject: region; value: true
    "remark",  # subject: region, or a step outside Look; value: text
    "reveal",  # subject: region; value: true; cannot be undone
    "attachment",  # subject: "region/fault"; value: {"digest", "caption"}
    "readings",  # subject: id of the run; value: "in" or "out"
    "written",  # subject: digest of an appendix; value: {"file"}
]
ENTRY_KINDS: Final[tuple[EntryKind, ...]] = get_args(EntryKind)


@dataclass(frozen=True, slots=True)
class Draft:
    """One thing about to be said. `value` is plain JSON; None withdraws what was said on the subject."""

    kind: EntryKind
    subject: str
    value: Any
    viewing: int | None = None
    after_reveal: bool = False


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that was said, as the archive keeps it. Entries of one key press share `action`."""

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


def folded(head: Session, viewings: Iterable[Viewing], entries: Iterable[Entry]) -> Session:
    """The session as it stands: `head` (its row, otherwise empty) with every live entry applied in order.

    The last live entry on a subject counts; a value of None withdraws it.
    """
    latest: dict[tuple[int | None, str, str], Entry] = {}
    for entry in entries:
        latest.pop(key := (entry.viewing, entry.kind, entry.subject), None)
        if entry.value is not None:
            latest[key] = entry
    own = [entry for entry in latest.values() if entry.viewing is None]
    return replace(
        head,
        condition=_condition(own),
        readiness={
            e.subject: Readiness(e.value["mark"], e.at, e.value.get("detail", {}))
            for e in own
            if e.kind == "readiness"
        },
        timers={e.subject: datetime.fromisoformat(e.value) for e in own if e.kind == "timer"},
        remarks={e.subject: e.value for e in own if e.kind == "remark"},
        revealed={e.subject: e.at for e in own if e.kind == "reveal"},
        runs=frozenset(int(e.subject) for e in own if e.kind == "readings" and e.value == "in"),
        written={e.subject: e.at for e in own if e.kind == "written"},
        viewings=tuple(
            _viewing(viewing, [e for e in latest.values() if e.viewing == viewing.id]) for viewing in viewings
        ),
    )


def _condition(entries: Iterable[Entry]) -> PrintingCondition:
    known = {field.name for field in fields(PrintingCondition)}
    said = {e.subject: e.value for e in entries if e.kind == "condition" and e.subject in known}
    if "printed_at" in said:
        said["printed_at"] = datetime.fromisoformat(said["printed_at"])
    return PrintingCondition(**said)


def _viewing(viewing: Viewing, entries: list[Entry]) -> Viewing:
    return replace(
        viewing,
        answers={
            _pair(e.subject): Answer(decoded(e.value), e.at, e.after_reveal)
            for e in entries
            if e.kind == "answer"
        },
        faults=tuple(
            Fault(name=_pair(e.subject)[1], region=_pair(e.subject)[0], where=e.value.get("where", ""))
            for e in entries
            if e.kind == "fault" and _pair(e.subject)[1]
        ),
        faultless=frozenset(
            _pair(e.subject)[0] for e in entries if e.kind == "fault" and not _pair(e.subject)[1]
        ),
        look_again=frozenset(e.subject for e in entries if e.kind == "again"),
        remarks={e.subject: e.value for e in entries if e.kind == "remark"},
        revealed={e.subject: e.at for e in entries if e.kind == "reveal"},
    )


def _pair(subject: str) -> tuple[str, str]:
    region, _, rest = subject.partition("/")
    return region, rest
