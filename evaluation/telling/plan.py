"""The plan of a loan in words: the next step and why, how likely all of it is, what to leave out."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Final

from evaluation.loan import About
from evaluation.plain_text import counted, listed, percent
from evaluation.planning.drops import ROOM, Drop
from evaluation.planning.steps import PRINTED, Step
from evaluation.telling.wording import day

# As an instruction; as what is next in a list.
STEP: Final[Mapping[Step, str]] = {
    "charts": "print the charts",
    "profile": "read the charts, make the profile",
    "sheet": "print the test image",
    "look": "look and read",
    "second": "look a second time",
}
NAMES: Final[Mapping[str, str]] = {str(step): words for step, words in STEP.items()}
TO_PRINT: Final[Mapping[Step, str]] = {
    "charts": "To print: your profiling charts, unmanaged, on as many sheets as they take.",
    "sheet": "To print: the test image of this session, through the profile, and its form for the booth (t).",
}
_WEEKDAYS: Final = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_DROPPED: Final[Mapping[Drop, str]] = {
    "second viewings": "without second viewings",
    "full list": "with the thirty patches in place of the full list",
    "third setting": "without the third setting",
    "own charts": "with the maker's profile where it does",
}
NEARLY: Final = 0.95  # a share from which on it is nearly certain; own


def clock(at: datetime, now: datetime) -> str:
    """A moment of the wall clock: today without its day.

    >>> now = datetime(2026, 3, 4)
    >>> clock(datetime(2026, 3, 4, 9, 5), now), clock(datetime(2026, 3, 5, 9), now)
    ('09:05', 'Thu 5 Mar, 09:00')
    """
    return f"{at:%H:%M}" if at.date() == now.date() else f"{short_day(at)}, {at:%H:%M}"


def short_day(at: datetime) -> str:
    """
    >>> short_day(datetime(2026, 3, 5))
    'Thu 5 Mar'
    """
    return f"{_WEEKDAYS[at.weekday()]} {day(at).rpartition(' ')[0]}"


def weekdays(days: Sequence[int]) -> str:
    """
    >>> weekdays((0, 1, 5)), weekdays((1, 2, 3, 4))
    ('Mon, Tue, Sat', 'Tue to Fri')
    """
    if len(days) > 2 and tuple(days) == tuple(range(days[0], days[-1] + 1)):
        return f"{_WEEKDAYS[days[0]]} to {_WEEKDAYS[days[-1]]}"
    return ", ".join(_WEEKDAYS[one] for one in days)


def length(minutes: float) -> str:
    """
    >>> length(65), length(50), length(120), length(1500)
    ('1 h 05', '50 min', '2 h', '25 h')
    """
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02}" if rest and hours < 10 else f"{hours} h"


def step_of(step: Step, paper: str, settings: Sequence[str]) -> str:
    """The next step, as an instruction without its full stop."""
    verb = STEP[step]
    return f"{verb[0].upper()}{verb[1:]}: {paper}, {listed(settings)}"


def why(step: Step, dry_hours: float, others: int, left: int, *, idle: bool) -> str:
    """Why this comes next. `others` papers could be gone on with; `left` steps of this one are left.

    `idle`: something lies dry and could be read or looked at.
    """
    if step in PRINTED:
        wait = "; prints that are dry can wait" if idle else ""
        return f"First, since {dry_hours:.0f} h of drying begin with it{wait}."
    nearest = f"{counted(left, 'step')} left: this paper is nearest its end." if others else ""
    return f"No print can be made now. {nearest}".strip()


def chance(share: float) -> str:
    """How likely, in words; a share of 200 replays is good to about one in ten.

    >>> [chance(share) for share in (1.0, 0.93, 0.41, 0.06, 0.0)]
    ['nearly certain', 'about 9 in 10', 'about 4 in 10', 'about 1 in 10', 'hardly, below 1 in 20']
    """
    if share >= NEARLY:
        return "nearly certain"
    tenth = round(10 * share)
    return "hardly, below 1 in 20" if tenth < 1 else f"about {min(9, tenth)} in 10"


def all_of(papers: int, most: int, jobs: int, share: float) -> str:
    """How likely it is that all that is left is done in time."""
    what = f"All that is left ({counted(papers, 'paper')}, {counted(jobs, 'print')}): "
    if most > 1 and papers * most == jobs:
        what = f"{counted(papers, 'paper')} x {most} settings: "
    return f"{what}{chance(share)}."


def without(drop: Drop, papers: Sequence[str], share: float) -> str:
    """How likely after leaving out one thing more."""
    what = f"without {listed(papers)}" if drop == "papers" else _DROPPED[drop]
    return f"{what[0].upper()}{what[1:]}: {chance(share)}."


def waits(until: str, wet: Sequence[str], *, closed: bool) -> str:
    """Why nothing can be done before a time: no open hours, or everything left is still drying."""
    if closed:
        return f"Nothing now: the next open hour begins {until}."
    return f"Nothing until {until}: {listed(wet)} must dry." if wet else f"Nothing until {until}."


def takes(minutes: float, change: float, several: int) -> str:
    """How long a step takes in hand."""
    each = f" for {several} settings" if several > 1 else ""
    return f"{length(minutes)}{each}" + (f", {change:.0f} min of it to change the paper." if change else ".")


NO_PROMISE: Final = "If everything takes as long as usual; each entry updates it."
NOTHING_PLANNED: Final = "No paper is planned yet."
ALL_DONE: Final = "Everything planned is done."
NOTHING_FITS: Final = "Nothing that is left can be finished before the printer goes back."


def room(minutes: float, open_minutes: float) -> str:
    """Work against open hours, and whether that leaves room for what goes wrong."""
    if not open_minutes:
        return f"Left to do: {length(minutes)}, and no open hour."
    share = minutes / open_minutes
    told = f"Left to do: {length(minutes)} in {length(open_minutes)} open, {percent(share)}"
    return f"{told}; leave room above {percent(ROOM)}." if share > ROOM else f"{told}."


def eyes(viewings: int, a_day: int, days: int) -> str:
    """What full viewings alone ask for, where that is most of the days that are left; "" where it is not."""
    need = -(-viewings // a_day)
    if need <= ROOM * days:
        return ""
    return f"{counted(viewings, 'viewing')} at {a_day} a day take {need} of {counted(days, 'open day')} left."


def upsets() -> str:
    """What a share rests on."""
    return (
        "From 200 replays: two days in eighteen lost, everything slower than planned, each time off by a "
        "quarter. The project's own choice, no forecast."
    )


def gone(paper: str, setting: str, number: int | None) -> str:
    """A session that the plan names and that is not on the list."""
    if number is None:
        return f"The session of {paper}, {setting} is not in this archive; Enter begins another."
    return (
        f"Session {number} of {paper}, {setting} was removed: `drydown bring-back {number}` brings it back, "
        "Enter begins another."
    )


def troubles_of_dates(about: About, newest: datetime, now: datetime) -> list[str]:
    """What is missing or contradictory in a loan's days and hours, a sentence each."""
    found = []
    if about.first is None or about.last is None:
        which = "first" if about.first is None else "last"
        found.append(f"The loan has no {which} day yet; without one there is no plan.")
    elif about.last < about.first:
        found.append("The last day is before the first; change one, and there is a plan.")
    elif now.date() > about.last:
        found.append(f"The printer went back on {_date(about.last.isoformat())}.")
    if about.closes <= about.opens or not about.days:
        found.append("There are no open hours; without them there is no plan.")
    if newest > now:
        found.append(
            f"This computer's clock reads {clock(now, now)}, before the last entry of "
            f"{clock(newest, now)}: drying times may be off until it is set right."
        )
    return found


def _date(text: str) -> str:
    return day(datetime.fromisoformat(text))


def back_on(last: datetime, now: datetime) -> str:
    """When the printer goes back, and how far off that is."""
    days = (last.date() - now.date()).days
    left = {0: "today", 1: "tomorrow"}.get(days, f"in {days} days" if days > 0 else "gone")
    return f"back on {short_day(last)}, {left}"


def dry(paper: str, setting: str) -> str:
    """The entry of a calendar where a wait ends."""
    return f"Dry: {paper}, {setting}"


def goes_back(printer: str) -> str:
    """The entry of a calendar on the last day."""
    return f"{printer or 'The printer'} goes back"


SHORT_STEP: Final[Mapping[Step, str]] = {
    "charts": "print charts",
    "profile": "read, profile",
    "sheet": "print image",
    "look": "look and read",
    "second": "second look",
}


def brief(at: datetime, now: datetime) -> str:
    """A moment for a narrow column: the time, the weekday and the time, from a week on the day.

    >>> now = datetime(2026, 3, 4)
    >>> [brief(datetime(2026, 3, day, 9, 5), now) for day in (4, 5, 20)]
    ['09:05', 'Thu 09:05', 'Fri 20 Mar']
    """
    days = (at.date() - now.date()).days
    if days == 0:
        return f"{at:%H:%M}"
    return f"{_WEEKDAYS[at.weekday()]} {at:%H:%M}" if 0 < days < 7 else short_day(at)


def timed(step: str, minutes: float | None) -> str:
    """The clock of a step: running, or what it measured."""
    if minutes is None:
        return f"The clock of “{NAMES[step]}” runs; T stops it."
    return f"“{NAMES[step]}” took {length(minutes)}; from three on their median counts."


WORKING_OUT: Final = "How likely all of it is: working it out ..."
NO_LOAN: Final = (
    "No printer is on loan. Enter begins one with the day it goes back; papers and hours come next, and all "
    "of it can be changed."
)
NO_PAPER: Final = "No paper is planned yet. n adds one with its settings, as “Rag 293: fine, finest”."
