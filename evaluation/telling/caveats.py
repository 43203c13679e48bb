"""What limits a result, a sentence for each caveat."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Final

from evaluation.judgement import caveats as known
from evaluation.judgement.caveats import Caveat, Fact
from evaluation.judgement.table_rows import Calibration
from evaluation.readings.age import Age, day_alone

BLACK_FROM_PRINT: Final = "Black level taken from this print: its density is not judged."
_SENTENCES: Final[Mapping[Fact, str]] = {
    "black from this print": BLACK_FROM_PRINT,
    "black from an earlier print": "Black level taken from an earlier accepted print.",
    "black not read": "The black was not read, so the aim keeps its own.",
    "mode not stated": "Not stated whether the patches were printed managed, as the picture was, or "
    "unmanaged: taken as managed.",
    "condition not stated": "Measurement condition (M0 to M3) not stated.",
    "backing not stated": "Backing of the readings not stated.",
    "instrument not stated": "Instrument not stated.",
    "too few repeats": "Too few repeat readings: a default spread is used.",
    "all unmanaged": "All readings are of patches printed unmanaged: they do not show how the "
    "picture prints.",
    "bare paper not read": "Bare paper was not read: nothing can be compared with it.",
    "printing not stated": "Time of printing not stated: the print's age is not known.",
    "reading not stated": "Time of reading not stated: whether the print was dry by then is not known.",
    "ages differ": "The print was graded and read at different ages.",
    "intent not stated": "Rendering intent not stated: taken as relative colorimetric.",
    "compensation not stated": "Black point compensation not stated: taken as on.",
}


def caveat(one: Caveat) -> str:
    """The sentence of a caveat that follows from a session alone: it is kept with its weighing."""
    match one:
        case str():
            return _SENTENCES[one]
        case known.BlackOf(session):
            return f"Black level taken from session {session}, an accepted print."
        case known.OutOfReach(names):
            return f"Out of reach by choice of intent, not graded: {', '.join(names)}."
        case known.NotDone(items):
            return not_done(items)
        case known.LightNotMeasured(lux):
            taken = "" if lux is None else f": {lux:g} lx taken for what can be seen at both ends"
            return f"Viewing light not measured{taken}."
        case known.BeforePrinting(read, at, printed):
            return (
                f"{'Read' if read else 'Looked at'} on {_dated(at)}, before the stated printing on "
                f"{_dated(printed)}: one of the two times is wrong, so the print's age is not known."
            )
        case known.Fresh():
            return _fresh(one)
        case known.Revealed(regions):
            were = "one region were shown before it was"
            if regions != 1:
                were = f"{regions} regions were shown before they were"
            return f"Readings of {were} graded by eye; this is recorded."
        case known.Led(titles):
            return f"Answered after the readings were shown: {', '.join(titles)}."
        case known.LongViewing(ordinal, minutes):
            return f"Viewing {ordinal} lasted longer than {minutes:g} minutes."
        case known.WholeSheet(apart):
            side = "under" if apart < 0 else "above"
            return (
                f"The eye lies {abs(apart):.1f} grades {side} the readings over the whole sheet: the "
                "observer's lean, the light or the anchors."
            )
        case known.Calibrated(by, role):
            return _calibrated(by, role)


def _calibrated(by: Calibration, role: str) -> str:
    lean = f"{by.lean:+.1f} ± {by.error:.1f} grades off the readings throughout ({by.regions} regions)"
    told = f"Verdict with the calibration “{by.name}” of {by.made}: the eye of {role} lies {lean}"
    if by.spread is None:
        return f"{told}."
    return (
        f"{told}, and the regions of a print spread by {by.spread:.1f} grades. Where a single region fails "
        "on a print that is good otherwise, the verdict is less sure than it says."
    )


def not_done(items: Sequence[str]) -> str:
    """Items of Prepare that stayed open, by their titles."""
    return f"Not done when judged: {', '.join(items)}."


def _fresh(one: known.Fresh) -> str:
    wait = f"{one.wait:g} h{' (unconfirmed)' if one.unconfirmed else ''}"
    if not one.read:
        return f"Looked at {_hours(one.age.most)} after printing; the wait is {wait}."
    if one.age.hours is not None:
        return (
            f"Read {_hours(one.age.hours)} after printing; the wait is {wait}, as a fresh print still moves."
        )
    return f"Read {_between(one.age)} after printing, as the file gives only the day; the wait is {wait}."


def _between(age: Age) -> str:
    return f"{_hours(age.least)} to {_hours(age.most)}"


def _dated(at: datetime) -> str:
    """In UTC, so that it is the same on every machine; a day without a time as the file states it."""
    if day_alone(at):
        return f"{at.day} {at:%b %Y}"
    utc = at.astimezone(UTC)
    return f"{utc.day} {utc:%b %Y, %H:%M} UTC"


def _hours(hours: float) -> str:
    return f"{round(hours * 60)} min" if hours < 2 else f"{hours:.0f} h"


def yellower(db: float, light: str, condition: str) -> str:
    """A whitened paper, a profile that counts on its glow, a light without ultraviolet; db in b*."""
    return (
        f"Expect the whole print yellower by about {db:.1f} b* under {light}: the profile was made from "
        f"{condition} and counts on the glow of the paper's whitener, which that light lacks."
    )


def sheets_unknown(sessions: Sequence[int], taken: str, copies: int = 0) -> str:
    """The spread from sheet to sheet of these sessions (none: of all) is not known, so one is `taken`."""
    where = f" of {', '.join(map(str, sessions))}" if sessions else ""
    more = f" {copies} copies of a print, compared with the others, make it known." if copies else ""
    return f"Spread from sheet to sheet{where} not known: {taken}.{more}"


def black_not_used(session: int, why: str) -> str:
    return f"The black of session {session} is not used: {why}"
