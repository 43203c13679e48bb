"""From the log of entries to the session they make, and one step further. Standard library only.

The last live entry on a subject counts; a value of None withdraws it. A fold keeps the entries that count in
the order they were made, so that one more, or one undone, costs the same however many came before.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import datetime
from typing import Any, Final, NamedTuple

from evaluation.entry import FACT, Entry, EntryKind, decoded
from evaluation.entry_check import refuse_other_kinds
from evaluation.session import Answer, Fault, PrintingCondition, Readiness, Session, Viewing


class Subject(NamedTuple):
    """What an entry is about. `viewing` is None outside Look."""

    viewing: int | None
    kind: EntryKind
    name: str


class _Part(NamedTuple):
    """One kind of entries of the session, or of a viewing: the newest on each subject, oldest first."""

    ids: dict[str, int]  # of the entry, by name of its subject
    values: dict[Any, Any]  # by the key that each has in a field of the noun: in the same order


_Place = tuple[int | None, EntryKind]  # viewing and kind


@dataclass(frozen=True, slots=True)
class Fold:
    """A session, and the entries that make it."""

    session: Session
    _parts: Mapping[_Place, _Part] = field(default_factory=dict, repr=False)


def subject_of(entry: Entry) -> Subject:
    """What an entry is about."""
    return Subject(entry.viewing, entry.kind, entry.subject)


def refuse_nonsense(entries: Iterable[Entry]) -> None:
    """Raise ValueError, TypeError or KeyError for a value that its subject cannot have.

    Asked where entries come in; what is kept is folded without, so that a word of later days stays readable.
    """
    for entry in entries:
        if entry.value is not None:
            _key(entry.kind, entry.subject)
            _value(entry)
            refuse_other_kinds(entry)


def folded(head: Session, viewings: Iterable[Viewing], entries: Iterable[Entry]) -> Fold:
    """The session that entries make: `head` (its row, otherwise empty) with every live entry in order.

    Raises ValueError, TypeError or KeyError for a value without the form of its kind.
    """
    newest: dict[Subject, Entry | None] = {}
    for entry in entries:
        newest.pop(about := subject_of(entry), None)
        newest[about] = entry
    return further(Fold(replace(head, viewings=tuple(viewings))), newest)


def further(fold: Fold, newest: Mapping[Subject, Entry | None]) -> Fold:
    """The fold after a change: `newest` has the live entry that now is the last on each subject, or None.

    Raises as `folded`.
    """
    parts: dict[_Place, _Part] = {}
    displaced: set[_Place] = set()
    for (viewing, kind, name), entry in newest.items():
        if (place := (viewing, kind)) not in parts:
            before = fold._parts.get(place)
            parts[place] = _Part(dict(before.ids), dict(before.values)) if before else _Part({}, {})
        ids, values = parts[place]
        key = _key(kind, name)
        ids.pop(name, None)
        values.pop(key, None)
        if entry is not None and entry.value is not None:
            if entry.id < next(reversed(ids.values()), 0):
                displaced.add(place)
            ids[name], values[key] = entry.id, _value(entry)
    for place in displaced:
        parts[place] = _in_order(parts[place])
    own = {kind: part.values for (viewing, kind), part in parts.items() if viewing is None}
    session = replace(fold.session, **_fields(own, _OUTSIDE_LOOK))
    if len(own) < len(parts):
        viewings = tuple(_viewing(viewing, parts) for viewing in session.viewings)
        session = replace(session, viewings=viewings)
    return Fold(session, {**fold._parts, **parts})


def _in_order(part: _Part) -> _Part:
    """In the order they were made: an entry brought back by redo goes to its old place."""
    ids = list(part.ids.values())
    order = sorted(range(len(ids)), key=ids.__getitem__)
    names, keys = list(part.ids.items()), list(part.values.items())
    return _Part(dict([names[at] for at in order]), dict([keys[at] for at in order]))


def _viewing(viewing: Viewing, parts: Mapping[_Place, _Part]) -> Viewing:
    own = {kind: part.values for (number, kind), part in parts.items() if number == viewing.id}
    return replace(viewing, **_fields(own, _IN_LOOK)) if own else viewing


def _fields(
    values: Mapping[EntryKind, dict[Any, Any]], known: Mapping[EntryKind, "_Fields"]
) -> dict[str, Any]:
    """The fields of a noun that these kinds of entries make."""
    made: dict[str, Any] = {}
    for kind, part in values.items():
        if kind in known:
            made |= known[kind](part)
    return made


_Fields = Callable[[dict[Any, Any]], dict[str, Any]]


def _mapping(name: str) -> _Fields:
    return lambda values: {name: values}


def _condition(values: dict[str, Any]) -> dict[str, Any]:
    condition = PrintingCondition(**{key: values[key] for key in values if key in _CONDITION})
    facts = {key.removeprefix(FACT): values[key] for key in values if key.startswith(FACT)}
    return {"condition": condition, "facts": facts}


def _runs(words: dict[int, str]) -> dict[str, Any]:
    return {"runs": frozenset(number for number, word in words.items() if word == "in")}


def _faults(named: dict[tuple[str, str], Fault | None]) -> dict[str, Any]:
    return {
        "faults": tuple(fault for fault in named.values() if fault is not None),
        "faultless": frozenset(region for (region, _), fault in named.items() if fault is None),
    }


_CONDITION: Final = frozenset(one.name for one in fields(PrintingCondition))
_OUTSIDE_LOOK: Final[Mapping[EntryKind, _Fields]] = {
    "condition": _condition,
    "readiness": _mapping("readiness"),
    "timer": _mapping("timers"),
    "remark": _mapping("remarks"),
    "reveal": _mapping("revealed"),
    "readings": _runs,
    "written": _mapping("written"),
}
_IN_LOOK: Final[Mapping[EntryKind, _Fields]] = {
    "answer": _mapping("answers"),
    "fault": _faults,
    "again": lambda marked: {"look_again": frozenset(marked)},
    "remark": _mapping("remarks"),
    "reveal": _mapping("revealed"),
}


def _key(kind: EntryKind, name: str) -> Any:
    """The key that an entry on this subject has in its field."""
    match kind:
        case "answer" | "fault":
            return _pair(name)
        case "readings":
            return int(name)
    return name


def _value(entry: Entry) -> Any:
    """The value of an entry, as its field holds it."""
    value = entry.value
    match entry.kind:
        case "condition" if entry.subject.startswith(FACT):
            return dict(value)
        case "condition" if entry.subject == "printed_at":
            return datetime.fromisoformat(value)
        case "readiness":
            return Readiness(value["mark"], entry.at, value.get("detail", {}))
        case "timer":
            return datetime.fromisoformat(value)
        case "reveal" | "written":
            return entry.at
        case "answer":
            return Answer(decoded(value), entry.at, entry.after_reveal)
        case "fault":
            region, name = _pair(entry.subject)
            return Fault(name, region, value.get("where", "")) if name else None
    return value


def _pair(subject: str) -> tuple[str, str]:
    region, _, rest = subject.partition("/")
    return region, rest
