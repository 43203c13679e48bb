"""How far a session is: a word for each step, one for the whole, and what comes next. Standard library only.

Pure functions of a session. A step is done when

Describe  the printer, the paper, what the print is made for, how the driver was used and when it was printed
          are stated (the project's own choice: a verdict or the clock of drying needs each of them; the other
          fields help the reader of an appendix and hold nothing up)
Prepare   every line of it is answered, or a viewing has begun: nothing there blocks
Look      every region that has questions has its grade as a whole in the newest viewing
Read      a run of readings is in
Weigh     Look and Read are done: it works itself out
Write up  an appendix was written; it may be written of a session that was never measured
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final, Literal

from evaluation.plain_text import lower_first
from evaluation.session import READINESS, Grade, Mark, PrintingCondition, Session, State, Summary, Viewing
from evaluation.sheet.layout import Sheet, SheetRegion

StepName = Literal["Describe", "Prepare", "Look", "Read", "Weigh", "Write up"]

NEEDED: Final = ("printer", "paper", "made_for", "driver_mode", "printed_at")


@dataclass(frozen=True, slots=True)
class Clocks:
    """How long the two clocks of Prepare run, and when own references are due. The user may change them."""

    drying: timedelta = timedelta(hours=24)  # custom of the trade, unconfirmed: "leave it a day"
    adaptation: timedelta = timedelta(minutes=3)  # project's own choice
    references: timedelta = timedelta(days=14)  # project's own choice


USUAL: Final = Clocks()


@dataclass(frozen=True, slots=True)
class Step:
    """One of the six steps as a header shows it: "done", "2 open", "5 of 9", "after Look"."""

    name: StepName
    words: str
    done: bool


@dataclass(frozen=True, slots=True)
class Coming:
    """What comes next: the step, and within it the field, the line or the region."""

    step: StepName
    words: str


def state(session: Session, sheet: Sheet, now: datetime, clocks: Clocks = USUAL) -> State:
    """The word for the whole session: its first step not done, or "drying" while that clock runs and nobody
    has begun to look.
    """
    return shown_state(_settled_state(session, sheet), _waits_until(session, clocks), now)


def shown_state(settled: State, until: datetime | None, now: datetime) -> State:
    """`Summary.state` as it reads at this moment. What is written up waits for nothing."""
    return "drying" if until is not None and now < until and settled != "written up" else settled


def _waits_until(session: Session, clocks: Clocks) -> datetime | None:
    """When the clock of drying ends, for a print without a viewing."""
    return dries_until(session, clocks) if session.viewing is None else None


def steps(
    session: Session,
    sheet: Sheet,
    now: datetime,
    *,
    conditions: Sequence[str] = (),
    disagree: int | None = None,
    clocks: Clocks = USUAL,
) -> tuple[Step, ...]:
    """The six steps. `conditions` of the readings ("M1"); `disagree`: regions, None when not weighed yet."""
    missing = open_fields(session.condition)
    done, all_regions = looked(session, sheet)
    looked_through = _looked_through(session, sheet)
    readings = "none" if not session.runs else " ".join(("in,", *conditions)) if conditions else "in"
    return (
        Step("Describe", f"{len(missing)} open" if missing else "done", not missing),
        _prepare(session, now, clocks),
        Step("Look", f"{done} of {all_regions}" if session.viewing else "-", looked_through),
        Step(
            "Read",
            readings if looked_through or not session.runs else "in, unseen",
            bool(session.runs),
        ),
        Step(
            "Weigh",
            _weigh_words(disagree) if looked_through else "after Look",
            looked_through and disagree is not None,
        ),
        Step(
            "Write up",
            "written" if session.written else "ready" if looked_through else "after Weigh",
            bool(session.written),
        ),
    )


def coming(session: Session, sheet: Sheet, now: datetime, clocks: Clocks = USUAL) -> Coming | None:
    """What comes next; None when the session is written up and no region is marked for a second look."""
    if missing := open_fields(session.condition):
        return Coming("Describe", missing[0].replace("_", " "))
    viewing = session.viewing
    unanswered = [item for item, mark in marks(session, now, clocks).items() if mark is None]
    if viewing is None and unanswered:
        clocked = _clocked(session)  # these answer themselves
        first = next((item for item in unanswered if item not in clocked), unanswered[0])
        return Coming("Prepare", READINESS[first])
    regions = in_order(session, sheet)
    for place, region in enumerate(regions, start=1):
        if not is_done(viewing, region):
            return Coming("Look", f"region {place} of {len(regions)}: {lower_first(region.title)}")
    if not session.runs and not session.written:
        return Coming("Read", "no readings yet")
    if viewing is not None:
        for region in regions:
            if region.id in viewing.look_again:
                return Coming("Look", f"again: {lower_first(region.title)}")
    return None if session.written else Coming("Write up", "not written yet")


def _clocked(session: Session) -> set[str]:
    """The lines of Prepare whose clock is running."""
    starts = {"dry": session.condition.printed_at, "adapted": session.timers.get("adaptation")}
    return {item for item, start in starts.items() if start is not None}


def summary(session: Session, sheet: Sheet, clocks: Clocks = USUAL) -> Summary:
    """What a list shows of the session, true at any later moment: the state is that after all clocks."""
    condition = session.condition
    done, all_regions = looked(session, sheet)
    return Summary(
        printer=condition.printer,
        paper=condition.paper,
        printed=printed(condition),
        printed_at=condition.printed_at,
        made_for=condition.made_for,
        state=_settled_state(session, sheet),
        dries_until=_waits_until(session, clocks),
        regions=all_regions,
        looked=done,
        again=len(session.viewing.look_again) if session.viewing else 0,
    )


def printed(condition: PrintingCondition) -> str:
    """How it was printed, short enough for a list.

    >>> printed(PrintingCondition(driver_mode="through the profile", quality="fine"))
    'profile, fine'
    >>> printed(PrintingCondition(quality="5 of 5"))
    'quality 5'
    """
    quality = condition.quality.partition(" of ")[0]
    if quality[:1].isdigit():
        quality = f"quality {quality}"
    return ", ".join(part for part in (short_mode(condition.driver_mode), quality) if part)


def short_mode(driver_mode: str) -> str:
    """A driver mode for a narrow column: "profile", "driver's b&w"."""
    return driver_mode.removeprefix("through the ").replace("black and white", "b&w")


def open_fields(condition: PrintingCondition) -> tuple[str, ...]:
    """The fields Describe still needs."""
    return tuple(name for name in NEEDED if getattr(condition, name) in ("", None))


def marks(session: Session, now: datetime | None, clocks: Clocks = USUAL) -> Mapping[str, Mark | None]:
    """Every line of Prepare with its mark. The two clocks turn into "done" by themselves, unless a person
    marked them otherwise. `now` of None stands for a time when both have run out.
    """
    found = {item: session.readiness[item].mark if item in session.readiness else None for item in READINESS}
    for item, start, length in (
        ("dry", session.condition.printed_at, clocks.drying),
        ("adapted", session.timers.get("adaptation"), clocks.adaptation),
    ):
        if found[item] is None and start is not None and (now is None or now >= start + length):
            found[item] = "done"
    return found


def open_readiness(session: Session, now: datetime, clocks: Clocks = USUAL) -> tuple[str, ...]:
    """The lines of Prepare that are not answered, or answered "not done": each becomes a caveat."""
    return tuple(item for item, mark in marks(session, now, clocks).items() if mark in (None, "not done"))


def dries_until(session: Session, clocks: Clocks = USUAL) -> datetime | None:
    """When the clock of drying ends; None when it does not run: time unknown, or marked by a person."""
    printed_at = session.condition.printed_at
    marked = session.readiness.get("dry")
    if printed_at is None or (marked is not None and marked.mark in ("done", "does not apply")):
        return None
    return printed_at + clocks.drying


def looked(session: Session, sheet: Sheet) -> tuple[int, int]:
    """Regions done in the newest viewing, of all that have questions."""
    regions = graded_by_eye(sheet)
    return sum(is_done(session.viewing, region) for region in regions), len(regions)


def is_done(viewing: Viewing | None, region: SheetRegion) -> bool:
    """Whether the region has its grade as a whole in that viewing."""
    if viewing is None or region.whole is None:
        return False
    answer = viewing.answers.get((region.id, region.whole.id))
    return answer is not None and isinstance(answer.value, Grade)


def graded_by_eye(sheet: Sheet) -> tuple[SheetRegion, ...]:
    """The regions that are graded by eye: those with a question on the whole of them."""
    return tuple(region for region in sheet.regions if region.whole is not None)


def in_order(session: Session, sheet: Sheet) -> tuple[SheetRegion, ...]:
    """The regions that are graded by eye, in the order of the newest viewing, else of the sheet."""
    order = session.viewing.region_order if session.viewing else ()
    places = {region_id: place for place, region_id in enumerate(order)}
    return tuple(sorted(graded_by_eye(sheet), key=lambda region: places.get(region.id, len(places))))


def _settled_state(session: Session, sheet: Sheet) -> State:
    """The first step not done when all clocks have run out."""
    if open_fields(session.condition):
        return "describing"
    if session.viewing is None and None in marks(session, None).values():
        return "preparing"
    if not _looked_through(session, sheet):
        return "looking"
    if session.written:
        return "written up"
    return "weighed" if session.runs else "reading"


def _looked_through(session: Session, sheet: Sheet) -> bool:
    done, all_regions = looked(session, sheet)
    return session.viewing is not None and done == all_regions


def _prepare(session: Session, now: datetime, clocks: Clocks) -> Step:
    """Counted up until a viewing begins, counted down after: then what is open has become a caveat."""
    answers = marks(session, now, clocks)
    unanswered = sum(mark is None for mark in answers.values())
    left = len(open_readiness(session, now, clocks))
    if session.viewing is None and unanswered:
        return Step("Prepare", f"{len(answers) - unanswered} of {len(answers)}", False)
    return Step("Prepare", f"{left} open" if left else "done", True)


def _weigh_words(disagree: int | None) -> str:
    if disagree is None:
        return "ready"
    return {0: "done", 1: "1 disagrees"}.get(disagree, f"{disagree} disagree")
