"""An observer as a person: how many prints they have looked at, and whether their colour vision is known.

A person goes by the name that viewings are entered under; a role alone, "observer 1", is another person where
it came from another archive. What Prepare says of colour vision is that of whoever looks next, in this and
in any other session.
"""

from dataclasses import dataclass

from evaluation.archive import entries, sessions
from evaluation.session import Session
from evaluation.telling.entries import detail_shown
from evaluation.work.bench import Bench


@dataclass(frozen=True, slots=True)
class Person:
    """`colour_vision`: how it was tested, or "tested"; "" where nobody said so."""

    name: str
    prints: int
    colour_vision: str


def person(bench: Bench, name: str) -> Person:
    """What the archive knows of an observer, over all of its listed sessions."""
    looked = sessions.looked_at(bench.archive, name)
    told = [_colour_vision(bench, sessions.load(bench.archive, one), name) for one in looked]
    return Person(name, len(looked), next((one for one in reversed(told) if one), ""))


def _colour_vision(bench: Bench, session: Session, name: str) -> str:
    """What was entered last between the viewing of another observer and one of this person."""
    said = [
        each.entry
        for each in entries.history(bench.archive, session.id)
        if each.live and each.entry.kind == "readiness" and each.entry.subject == "colour_vision"
    ]
    found, since = "", None
    for viewing in session.viewings:
        if viewing.observer == name:
            for entry in said:
                if entry.at <= viewing.started and (since is None or entry.at > since):
                    value = entry.value or {}
                    done = value.get("mark") == "done"
                    found = (detail_shown(value.get("detail") or {}) or "tested") if done else ""
        else:
            since = viewing.started
    return found
