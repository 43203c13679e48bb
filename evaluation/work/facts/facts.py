"""Facts for readers: stated as typed or from a form, timed by a key, and those of the same printer beside."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from evaluation import keyed
from evaluation.archive import facts as kept
from evaluation.archive import sessions
from evaluation.entry import FACT, Draft
from evaluation.errors import UsageProblem
from evaluation.facts import worked
from evaluation.facts.kinds import BY_ID, KINDS, Kind
from evaluation.facts.typed import NOT_SAVED, shown, sound, typed
from evaluation.plain_text import listed, quoted
from evaluation.session import Session
from evaluation.telling.facts import Fact, fact
from evaluation.work.bench import Bench
from evaluation.work.describe.begin import read_text
from evaluation.work.log import Entered, say

_SLIP: Final = 0.1  # minutes; no print is done so soon (project's own choice)
_HEAD: Final = """\
# Facts that readers ask for. Write each between its quotation marks, as in the example next to it.
# What stays blank is not stated.
"""


def of_session(bench: Bench, session: Session) -> tuple[Fact, ...]:
    """Every fact stated of a session, and of its printer in whichever session that was stated last."""
    stated = _stated(session)
    ink = stated.get("ink")
    use = None if ink is None else worked.ink(ink)
    elsewhere = _of_printer(bench, session)
    found = []
    for kind in KINDS:
        if kind.id in stated:
            found.append(fact(kind.id, stated[kind.id], session.id, use))
        elif kind.id in elsewhere:
            number, values = elsewhere[kind.id]
            found.append(fact(kind.id, values, number))
    return tuple(found)


def _of_printer(bench: Bench, session: Session) -> dict[str, tuple[int, Mapping[str, Any]]]:
    """Facts of the printer from other sessions, the newest of each, with the session they were stated in."""
    printer = session.condition.printer.casefold().strip()
    found: dict[str, tuple[int, Mapping[str, Any]]] = {}
    if not printer:
        return found
    for number in kept.stated_in(bench.archive):
        other = sessions.load(bench.archive, number)
        if number == session.id or other.condition.printer.casefold().strip() != printer:
            continue
        for kind_id, values in _stated(other).items():
            if BY_ID[kind_id].whose == "printer":
                found.setdefault(kind_id, (number, values))
    return found


def _stated(session: Session) -> dict[str, Mapping[str, Any]]:
    """The facts of a session that can be, in the order of all; one from another archive may hold anything."""
    return {
        kind.id: session.facts[kind.id]
        for kind in KINDS
        if kind.id in session.facts and sound(kind, session.facts[kind.id])
    }


def as_typed(session: Session, kind: Kind) -> str:
    """A fact of the session itself as it would be typed; "" where none is stated."""
    values = _stated(session).get(kind.id)
    return "" if values is None else shown(kind, values)


def state(bench: Bench, session_id: int, kind_id: str, text: str) -> Entered:
    """State a fact as typed; empty text withdraws it, but no print being timed. Raises UsageProblem."""
    draft = _draft(kind_id, text)
    running = _stated(sessions.load(bench.archive, session_id)).get(kind_id, {}).get("started")
    if running is not None:
        draft = replace(draft, value={"minutes": [], **(draft.value or {}), "started": running})
    return say(bench, session_id, [draft])


def start_or_stop(bench: Bench, session: Session) -> Entered:
    """Begin to time a print; or end it, and keep how long it took beside those before.

    Stopped within `_SLIP` it was a slip: the start is taken back and nothing kept.
    """
    before = _stated(session).get("time", {})
    minutes, started = list(before.get("minutes", ())), before.get("started")
    now = bench.now()
    if started is None:
        return say(bench, session.id, [_timed({"minutes": minutes, "started": now.isoformat()})])
    took = (now - datetime.fromisoformat(started)).total_seconds() / 60
    if 0 <= took < _SLIP:
        return say(bench, session.id, [_timed({"minutes": minutes} if minutes else None)])
    bounds = BY_ID["time"].parts[0]
    if not bounds.low <= took <= bounds.high:
        raise UsageProblem(
            NOT_SAVED,
            expected="a print that takes a second at least, and a week at most",
            found=f"{took:.1f} min",
            remedy="Undo takes the start back.",
        )
    return say(bench, session.id, [_timed({"minutes": [*minutes, round(took, 2)]})])


def _timed(value: Mapping[str, Any] | None) -> Draft:
    return Draft("condition", f"{FACT}time", None if value is None else dict(value))


def _draft(kind_id: str, text: str) -> Draft:
    kind = BY_ID[kind_id]
    return Draft("condition", f"{FACT}{kind_id}", typed(kind, text) if text.strip() else None)


def state_said(bench: Bench, session_id: int, said: str) -> Entered:
    """State a fact as the command line has it: “ink: inks 10, step 2 ml ...”. Raises UsageProblem."""
    name, colon, text = said.partition(":")
    kind_id = name.strip().casefold()
    if kind_id not in BY_ID or not colon:
        raise UsageProblem(
            NOT_SAVED,
            expected=f"a fact and its values, as in “ink: {BY_ID['ink'].example}”",
            found=quoted(said),
            remedy=f"Facts are {listed(list(BY_ID))}.",
        )
    return state(bench, session_id, kind_id, text)


def blank_form() -> str:
    """The form of all facts, each blank, with an example beside it."""
    width = max(len(kind.id) for kind in KINDS)
    lines = [f'{kind.id:<{width}} = ""  # {kind.title}: {kind.example}' for kind in KINDS]
    return _HEAD + "\n".join(lines) + "\n"


def state_form(bench: Bench, session_id: int, path: Path) -> Entered:
    """State every fact of a form, all or none. Raises UsageProblem, FileProblem or SheetProblem."""
    return state_text(bench, session_id, read_text(path, NOT_SAVED), path.name)


def state_text(bench: Bench, session_id: int, text: str, where: str) -> Entered:
    """The same for a form that is at hand; `where` is what messages call it."""
    top = keyed.parsed(text, where, what=NOT_SAVED, form=True)
    drafts = []
    for kind in KINDS:
        said = top.text(kind.id, "")
        if said:
            try:
                drafts.append(_draft(kind.id, said))
            except UsageProblem as problem:
                top.note(kind.id, problem.particulars)
    top.only()
    top.finish()
    if not drafts:
        raise UsageProblem(NOT_SAVED, where=where, expected="a fact", found="every line blank")
    return say(bench, session_id, drafts)
