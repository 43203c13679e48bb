"""Prepare: the readiness list. What each line asks, what a digit says on it, and the two clocks.

Nothing here blocks: what is open goes with the result as a caveat.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from evaluation import progress
from evaluation.archive import entries, sessions
from evaluation.entry import Draft
from evaluation.progress import USUAL, Clocks
from evaluation.session import MARKS, Mark, Readiness, Session
from evaluation.telling.entries import detail_shown
from evaluation.work.bench import Bench
from evaluation.work.describe import details
from evaluation.work.describe.begin import say_readiness
from evaluation.work.log import Entered, say

CLOCKS: Final = ("dry", "adapted")
KEPT_FROM_EARLIER: Final = ("viewing_light", "colour_vision")  # light and eyes may be as they were


@dataclass(frozen=True, slots=True)
class ItemHelp:
    """What stands below the list for a line: what it is about, and a caution where one belongs."""

    text: str
    care: str = ""
    detail: str = ""  # what Enter asks for, if anything


ABOUT: Final[Mapping[str, ItemHelp]] = {
    "settled": ItemHelp(
        "After moving or a new place the machine levels and warms; give it the time its maker asks for.",
        "A wide machine takes several people to lift. The maker's manual decides.",
    ),
    "nozzle_check": ItemHelp(
        "Print the pattern of all nozzles; every line must be whole.",
        "Keep hands, sleeves and hair away from the moving carriage and the cutter's blade.",
    ),
    "alignment": ItemHelp(
        "Aligned for this direction, quality and thickness of paper: another one needs it again.",
        "The carriage moves without warning; keep the cover closed.",
    ),
    "media_setting": ItemHelp("The setting in the driver and on the panel is the one written in Describe."),
    "feed_and_side": ItemHelp(
        "Fed straight, printed on the coated side. A damp finger in a corner sticks to the coating.",
        "Rolls are heavy; the cutter's blade is sharp. The maker's manual and local rules decide.",
    ),
    "dry": ItemHelp(
        "A fresh print still moves: dense tones darken, some papers for days. 24 h is custom of the trade "
        "(unconfirmed), drying_wait in your settings. Look now if you must; the result gives its age.",
        "Keep ink off the skin and out of the eyes. The maker's manual decides.",
    ),
    "flat": ItemHelp(
        "No waves, scratches or finger marks where you look. Enter: what the scale of 100 mm measures.",
        detail="The scale of 100 mm measures, in mm",
    ),
    "viewing_light": ItemHelp(
        "ISO 3664: P1 is about 2000 lx, P2 about 500 lx, D50. Enter: what was measured, such as "
        "2040 lx, 5050 K, P1, no uv, second A.",
        "A lamp with ultraviolet: do not look into it. The maker's manual decides.",
        detail="Light: lx, K, P1 or P2, second light",
    ),
    "surround": ItemHelp("Grey walls and table, nothing coloured in view, the screen dim: d in Look."),
    "adapted": ItemHelp(
        "Eyes need about three minutes in the booth's light. Enter starts the clock; it marks itself."
    ),
    "colour_vision": ItemHelp(
        "Whether this observer's colour vision was tested. Enter: how, in your words.", detail="Tested"
    ),
}


def answer(bench: Bench, session_id: int, item: str, mark: Mark) -> Entered | None:
    """Mark a line. "Not done" on a line with a running clock leaves it to the clock: None says nothing new.

    A mark on the viewing light or the observer's eyes keeps what was measured, also in the session before.
    """
    session = sessions.load(bench.archive, session_id)
    if item in CLOCKS and mark == "not done":
        if item == "adapted":
            return start_clock(bench, session_id)
        if session.condition.printed_at is not None:
            if item in session.readiness:
                return say_readiness(bench, session_id, item, None)
            return None
    return say_readiness(bench, session_id, item, mark, _detail(bench, session, item, mark))


def start_clock(bench: Bench, session_id: int) -> Entered:
    """Start the three minutes in the booth's light; the line turns into "done" by itself."""
    session = sessions.load(bench.archive, session_id)
    drafts = [Draft("timer", "adaptation", bench.now().isoformat())]
    if "adapted" in session.readiness:
        drafts.append(Draft("readiness", "adapted", None))
    return say(bench, session_id, drafts)


def say_detail(bench: Bench, session_id: int, item: str, typed: str) -> Entered:
    """Say what was measured or how; that also marks the line done. Raises UsageProblem."""
    return say_readiness(bench, session_id, item, "done", details.typed(item, typed))


def offered(bench: Bench, session: Session, item: str) -> Readiness | None:
    """The line as it was in the session this one was begun from, where it may be assumed to hold."""
    if item not in KEPT_FROM_EARLIER or session.copied_from is None:
        return None
    earlier = sessions.load(bench.archive, session.copied_from).readiness.get(item)
    return earlier if earlier is not None and earlier.mark == "done" else None


def state_words(session: Session, item: str, now: datetime, clocks: Clocks = USUAL) -> tuple[str, str]:
    """State of a line and the note beside it: ("done", "13:05"), ("not yet", "52 min of 24 h")."""
    made = session.readiness.get(item)
    mark = progress.marks(session, now, clocks)[item]
    if mark is None:
        running = _running(session, item, now, clocks)
        return running or ("-", "")
    if made is None or made.mark is None:
        return mark, "by its clock"
    at = f"{made.at.astimezone():%H:%M}" if now - made.at < timedelta(hours=20) else _day(made.at)
    beside = detail_shown(made.detail)
    return mark, f"{at}   {beside}" if beside else at


def waits_for(session: Session, now: datetime, clocks: Clocks = USUAL) -> tuple[str, ...]:
    """Lines that wait for a person: without a mark, and no clock is running for them."""
    marks = progress.marks(session, now, clocks)
    return tuple(
        item for item in marks if marks[item] is None and _running(session, item, now, clocks) is None
    )


def _running(session: Session, item: str, now: datetime, clocks: Clocks) -> tuple[str, str] | None:
    if item == "dry" and session.condition.printed_at is not None:
        gone = max(timedelta(0), now - session.condition.printed_at)
        return "not yet", f"{_long(gone)} of {_long(clocks.drying)}"
    started = session.timers.get("adaptation")
    if item == "adapted" and started is not None:
        return "running", f"{_short(max(timedelta(0), now - started))} of {_short(clocks.adaptation)}"
    return None


def _long(span: timedelta) -> str:
    minutes = int(span.total_seconds()) // 60
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h" if hours >= 10 or not rest else f"{hours} h {rest} min"


def _short(span: timedelta) -> str:
    minutes, seconds = divmod(int(span.total_seconds()), 60)
    return f"{minutes}:{seconds:02}"


def _day(moment: datetime) -> str:
    return f"{moment.astimezone():%d %b}".lstrip("0")


def _detail(bench: Bench, session: Session, item: str, mark: Mark) -> dict[str, str | float]:
    if mark != "done":
        return {}
    if measured := _measured(bench, session, item):
        return measured
    before = offered(bench, session, item)
    if before is None:
        return {}
    return {**before.detail, "as on": _day(before.at)}


def _measured(bench: Bench, session: Session, item: str) -> dict[str, str | float]:
    """What was measured with a line last in this session, also where it was marked otherwise since."""
    said = [
        each.entry.value.get("detail")
        for each in entries.history(bench.archive, session.id)
        if each.live and each.entry.kind == "readiness" and each.entry.subject == item and each.entry.value
    ]
    return dict(next((detail for detail in reversed(said) if detail), {}))


def mark_of(digit: int) -> Mark:
    """1 done, 2 not done, 3 does not apply."""
    return MARKS[digit - 1]
