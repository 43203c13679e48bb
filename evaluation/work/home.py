"""Home: the list of sessions, and what comes next for one of them. No numpy on this way."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from evaluation import progress
from evaluation.archive import habits, session_list, sessions, weighings
from evaluation.archive.session_list import ListedSession, Order
from evaluation.judgement.rules import RULES
from evaluation.session import READINESS, Session
from evaluation.sheet.layout import Sheet
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of

if TYPE_CHECKING:  # the types of documents bring a library that the first frame does without
    from evaluation.documents.actions import Listed

# Under this habit stand the digests of the tables that results are kept with, by the digest of the user's
# settings as text: a list finds them without reading the tables.
_SETTINGS_HABIT = "settings in force"
_MOST_SETTINGS = 8  # the newest; with settings older than these a list shows verdicts after the next weighing
REMOVED: Final = "removed"  # the view of sessions that were taken off the list
_FINISHED = ("weighed", "written up")
ACCEPTED: Final = ("accepted", "accepted with remarks")  # verdicts of prints that others may be held against


@dataclass(frozen=True, slots=True)
class FoundRegion:
    """A region of a result that is not out of date; grades 1 to 5, None where there is none."""

    number: int | None
    title: str
    eye: float | None
    instrument: float | None
    agreement: str


@dataclass(frozen=True, slots=True)
class Next:
    """The lower half of Home: what to do with a session, in sentences without their full stop."""

    session: Session
    step: progress.Coming | None
    again: tuple[str, ...]  # titles of regions marked for a second look
    open: tuple[str, ...]  # lines of Prepare that are not done
    readings: str
    sheet: Sheet
    region: str  # id of the region to be looked at next, "" where there is none
    found: tuple[FoundRegion, ...] = ()  # of a finished session only: grades of another viewing sway the eye
    reasons: tuple[str, ...] = ()  # for what it is made for, and what would decide it
    looks_next: str = ""  # an observer who is named and must not see the grades that are there


def listed(
    bench: Bench, *, match: str = "", order: Order = "newest", removed: bool = False
) -> "list[Listed]":
    """The document of `drydown list --json`: all sessions, or those removed, as plain values."""
    found = heads(bench, match=match, order=order, removed=removed, limit=-1)
    return [
        {
            "id": head.id,
            "paper": head.summary.paper,
            "printer": head.summary.printer,
            "made_for": head.summary.made_for,
            "state": state(bench, head),
            "verdict": verdict(head),
            "removed": None if head.removed is None else head.removed.isoformat(timespec="seconds"),
        }
        for head in found
    ]


def heads(
    bench: Bench,
    *,
    match: str = "",
    order: Order = "newest",
    removed: bool = False,
    offset: int = 0,
    limit: int = 64,
) -> tuple[ListedSession, ...]:
    """A window of the list, for rows that are drawn as they come into sight."""
    return session_list.heads(
        bench.archive,
        order=order,
        match=match,
        settings=settings_known(bench),
        rules=RULES,
        removed=removed,
        offset=offset,
        limit=limit,
    )


def count(bench: Bench, match: str = "", *, removed: bool = False) -> int:
    """How many sessions the list has, or how many of them `match`; with `removed`, of those taken off it."""
    return session_list.count(bench.archive, match=match, removed=removed)


def of_these(bench: Bench, numbers: Iterable[int]) -> frozenset[int]:
    """Those of these sessions that are on the list."""
    return session_list.of_these(bench.archive, numbers)


def remove(bench: Bench, session_id: int) -> None:
    """Take a session off the list; nothing of it is lost."""
    session_list.remove(bench.archive, session_id, bench.now())


def bring_back(bench: Bench, session_id: int) -> None:
    """Put a removed session back on the list, however long ago it was taken off."""
    session_list.restore(bench.archive, session_id)


def removed_one(bench: Bench, reference: str) -> int:
    """The number of the removed session a person means. Raises UsageProblem."""
    return sessions.find(bench.archive, reference, removed=True)


def state(bench: Bench, head: ListedSession) -> str:
    """The word for a session at this moment; drying stands for the others while its clock runs."""
    return progress.shown_state(head.summary.state, head.summary.dries_until, bench.now())


def verdict(head: ListedSession) -> str | None:
    """The verdict for what the print is made for, where it may be shown: of a finished session, not stale."""
    return head.verdict if head.summary.state in _FINISHED and not head.stale else None


def disagreeing(bench: Bench, session: Session) -> int | None:
    """In how many regions eye and readings disagree; None where the session is not weighed as it stands."""
    return weighings.disagreeing(bench.archive, session.id, settings_known(bench), RULES)


def settings_known(bench: Bench) -> str:
    """The digest under which results with the settings in force are kept; "" before the first of them."""
    kept = habits.recall(bench.archive, _SETTINGS_HABIT)
    return str(kept.get(_digest(bench.settings_text), "")) if isinstance(kept, dict) else ""


def remember_settings(bench: Bench, digest: str) -> None:
    """Let lists find the results that are kept with the settings in force; written where it is news."""
    if bench.archive.read_only or settings_known(bench) == digest:
        return
    kept = habits.recall(bench.archive, _SETTINGS_HABIT)
    before = list(kept.items())[1 - _MOST_SETTINGS :] if isinstance(kept, dict) else []
    habits.remember(bench.archive, _SETTINGS_HABIT, {**dict(before), _digest(bench.settings_text): digest})


def _digest(settings_text: str | None) -> str:
    return hashlib.sha256((settings_text or "").encode("utf-8", "replace")).hexdigest()


def kept_from(bench: Bench, named: Mapping[int, str]) -> frozenset[int]:
    """The sessions whose grades stay out of sight of the observers who are named for them."""
    return frozenset(
        each for each, name in named.items() if gate.another_eye(sessions.load(bench.archive, each), name)
    )


def coming(bench: Bench, session_id: int, named: str | None = None) -> Next:
    """What comes next for one session, and what it still has open; `named` is the observer who looks next."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    now = bench.now()
    titles = {region.id: region.title for region in sheet.regions}
    again = session.viewing.look_again if session.viewing else ()
    done, regions = progress.looked(session, sheet)
    if not session.runs:
        readings = "none yet"
    else:
        readings = "in" if done == regions else "in, out of sight until you have looked"
    order = progress.in_order(session, sheet)
    to_look = (each for each in order if not progress.is_done(session.viewing, each) or each.id in again)
    another = gate.another_eye(session, named)
    found, reasons = _found(bench, session, sheet) if done == regions and not another else ((), ())
    return Next(
        session=session,
        step=progress.coming(session, sheet, now, bench.clocks),
        again=tuple(titles.get(region, region) for region in again),
        open=tuple(READINESS[item] for item in progress.open_readiness(session, now, bench.clocks)),
        readings=readings,
        sheet=sheet,
        region=next((each.id for each in to_look), ""),
        found=found,
        reasons=reasons,
        looks_next=named or "" if another else "",
    )


def _found(bench: Bench, session: Session, sheet: Sheet) -> tuple[tuple[FoundRegion, ...], tuple[str, ...]]:
    """The regions of the kept result, and the reasons of the verdict for what the print is made for."""
    kept = weighings.standing(bench.archive, session.id, settings_known(bench), RULES)
    if kept is None:
        return (), ()
    result = json.loads(kept)
    numbers = {region.id: region.number for region in sheet.regions}
    found = tuple(
        FoundRegion(
            number=numbers.get(each["region"]),
            title=each["title"],
            eye=each["eye"] and each["eye"]["grade"],
            instrument=each["instrument"] and each["instrument"]["grade"],
            agreement=each["agreement"],
        )
        for each in result["findings"]
    )
    verdict = result["verdicts"].get(session.condition.made_for or "general", {})
    reasons = (*verdict.get("reasons", ()), verdict.get("would_decide"))
    return found, tuple(each for each in reasons if each)
