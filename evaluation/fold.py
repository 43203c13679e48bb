"""From the log of what was said to the session as it stands, and one step on. Standard library only.

The last live entry on a subject counts; a value of None withdraws it. A fold keeps what it stands on in the
order it was said, so that a further entry, or one taken back, costs the same however many came before.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import datetime
from typing import Any, Final, NamedTuple

from evaluation.said import Entry, EntryKind, decoded
from evaluation.session import Answer, Fault, PrintingCondition, Readiness, Session, Viewing


class Subject(NamedTuple):
    """What an entry is about. `viewing` is None outside Look."""

    viewing: int | None
    kind: EntryKind
    name: str


class _Item(NamedTuple):
    """What the newest entry on a subject says: the key and value of a field of session or viewing."""

    entry: int  # id
    key: Any
    value: Any


_Part = tuple[int | None, EntryKind]  # viewing and kind: what one field, or two, of a noun are made of
_Items = dict[str, _Item]  # by name of the subject, in the order they were said


@dataclass(frozen=True, slots=True)
class Fold:
    """A session, and what it stands on."""

    session: Session
    _parts: Mapping[_Part, _Items] = field(default_factory=dict, repr=False)


def subject_of(entry: Entry) -> Subject:
    """What an entry is about."""
    return Subject(entry.viewing, entry.kind, entry.subject)


def refuse_nonsense(entries: Iterable[Entry]) -> None:
    """Raise ValueError, TypeError or KeyError for a value that says nothing about its subject."""
    for entry in entries:
        if entry.value is not None:
            _item(entry)


def folded(head: Session, viewings: Iterable[Viewing], entries: Iterable[Entry]) -> Fold:
    """The session as it stands: `head` (its row, otherwise empty) with every live entry applied in order.

    Raises as `refuse_nonsense`.
    """
    newest: dict[Subject, Entry | None] = {}
    for entry in entries:
        newest.pop(about := subject_of(entry), None)
        newest[about] = entry
    return further(Fold(replace(head, viewings=tuple(viewings))), newest)


def further(fold: Fold, newest: Mapping[Subject, Entry | None]) -> Fold:
    """The fold after a change: `newest` has the live entry that now is the last on each subject, or None.

    Raises as `refuse_nonsense`.
    """
    changed: dict[_Part, _Items] = {}
    for about, entry in newest.items():
        part = about.viewing, about.kind
        if part not in changed:
            changed[part] = dict(fold._parts.get(part, {}))
        changed[part].pop(about.name, None)
        if entry is not None and entry.value is not None:
            changed[part][about.name] = _item(entry)
    parts = {part: _in_order(items) for part, items in changed.items()}
    own = {kind: items for (viewing, kind), items in parts.items() if viewing is None}
    session = replace(fold.session, **_fields(own, _OUTSIDE_LOOK))
    if len(own) < len(parts):
        viewings = tuple(_viewing(viewing, parts) for viewing in session.viewings)
        session = replace(session, viewings=viewings)
    return Fold(session, {**fold._parts, **parts})


def _in_order(items: _Items) -> _Items:
    """As they were said: an entry brought back by undo goes to its old place."""
    ids = [item.entry for item in items.values()]
    if len(ids) < 2 or ids[-1] > ids[-2]:  # the usual case: the newest has just been added
        return items
    return dict(sorted(items.items(), key=lambda pair: pair[1].entry))


def _viewing(viewing: Viewing, parts: Mapping[_Part, _Items]) -> Viewing:
    own = {kind: items for (number, kind), items in parts.items() if number == viewing.id}
    return replace(viewing, **_fields(own, _IN_LOOK)) if own else viewing


def _fields(
    parts: Mapping[EntryKind, _Items], known: Mapping[EntryKind, Callable[[_Items], dict[str, Any]]]
) -> dict[str, Any]:
    """Fields by name, from the parts of one noun that changed."""
    return {
        name: value
        for kind, items in parts.items()
        if kind in known
        for name, value in known[kind](items).items()
    }


def _mapping(name: str) -> Callable[[_Items], dict[str, Any]]:
    return lambda items: {name: {key: value for _, key, value in items.values()}}


def _condition(items: _Items) -> dict[str, Any]:
    return {
        "condition": PrintingCondition(**{key: value for _, key, value in items.values() if key in _SAID})
    }


def _runs(items: _Items) -> dict[str, Any]:
    return {"runs": frozenset(key for _, key, value in items.values() if value == "in")}


def _faults(items: _Items) -> dict[str, Any]:
    return {
        "faults": tuple(value for _, _, value in items.values() if value is not None),
        "faultless": frozenset(key for _, key, value in items.values() if value is None),
    }


def _again(items: _Items) -> dict[str, Any]:
    return {"look_again": frozenset(items)}


_SAID: Final = frozenset(one.name for one in fields(PrintingCondition))
_OUTSIDE_LOOK: Final[Mapping[EntryKind, Callable[[_Items], dict[str, Any]]]] = {
    "condition": _condition,
    "readiness": _mapping("readiness"),
    "timer": _mapping("timers"),
    "remark": _mapping("remarks"),
    "reveal": _mapping("revealed"),
    "readings": _runs,
    "written": _mapping("written"),
}
_IN_LOOK: Final[Mapping[EntryKind, Callable[[_Items], dict[str, Any]]]] = {
    "answer": _mapping("answers"),
    "fault": _faults,
    "again": _again,
    "remark": _mapping("remarks"),
    "reveal": _mapping("revealed"),
}


def _item(entry: Entry) -> _Item:
    """Key and value of the field that an entry is part of."""
    key: Any = entry.subject
    value: Any = entry.value
    match entry.kind:
        case "condition" if key == "printed_at":
            value = datetime.fromisoformat(value)
        case "readiness":
            value = Readiness(value["mark"], entry.at, value.get("detail", {}))
        case "timer":
            value = datetime.fromisoformat(value)
        case "reveal" | "written":
            value = entry.at
        case "readings":
            key = int(key)
        case "answer":
            key, value = _pair(key), Answer(decoded(value), entry.at, entry.after_reveal)
        case "fault":
            key, name = _pair(key)
            value = Fault(name, key, value.get("where", "")) if name else None
    return _Item(entry.id, key, value)


def _pair(subject: str) -> tuple[str, str]:
    region, _, rest = subject.partition("/")
    return region, rest
