"""Caveats of a result: what was not stated, what was not done, and where numbers rest on defaults."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Final

from evaluation.judgement.tables import Tables
from evaluation.metrics.gather import Gathered
from evaluation.readings.age import Age, age, day_alone, impossible, read_at
from evaluation.readings.run import Taken
from evaluation.session import READINESS, SERIOUS_READINESS, Session
from evaluation.sheet.layout import Sheet

BLACK_FROM_PRINT: Final = "Black level taken from this print: its density is not judged."


def serious_open(session: Session) -> tuple[str, ...]:
    """Titles of serious readiness items that are not done; one that does not apply is not open."""
    return tuple(READINESS[item] for item in SERIOUS_READINESS if _open(session, item))


def whole_sheet(apart: float | None, tables: Tables) -> tuple[str, ...]:
    """A sentence where the eye lies off the readings everywhere; `apart`: their median, eye less readings."""
    if apart is None or abs(apart) <= tables["offset_said"]:
        return ()
    side = "under" if apart < 0 else "above"
    return (
        f"The eye lies {abs(apart):.1f} grades {side} the readings over the whole sheet: the observer's "
        "lean, the light or the anchors.",
    )


def calibrated(session: Session, tables: Tables) -> tuple[str, ...]:
    """A sentence on every calibration that a result of this session uses."""
    looked = {viewing.observer for viewing in session.heard}
    return tuple(
        f"Verdict with the calibration “{one.name}” of {one.made}: the eye of {session.role(one.observer)} "
        f"lies {one.lean:+.1f} ± {one.error:.1f} grades off the readings throughout ({one.regions} regions)"
        + ("." if one.spread is None else f", and the regions of a print spread by {one.spread:.1f} grades.")
        for one in tables.calibrations
        if one.observer in looked
    )


def caveats(
    session: Session,
    sheet: Sheet,
    takens: Sequence[Taken],
    gathered: Gathered | None,
    tables: Tables,
) -> tuple[str, ...]:
    """Every caveat of a session, the weightiest first. None gives a value of any region.

    The age of a print is that at which it was read or looked at: no caveat comes or goes with the clock.
    """
    found: list[str] = []
    if gathered is not None:
        found += _of_readings(gathered, session.condition.black_from)
    elif takens:
        found.append(_nothing_used(takens))
    found += _of_drying(session, takens, tables)
    found += _of_condition(session, bool(takens))
    still_open = [title for item, title in READINESS.items() if _open(session, item)]
    if still_open:
        found.append(f"Not done when judged: {', '.join(still_open)}.")
    light = session.readiness.get("viewing_light")
    if light is not None and light.mark == "done" and "lux" not in light.detail:
        taken = f": {tables['lux']:g} lx taken for what can be seen at both ends" if takens else ""
        found.append(f"Viewing light not measured{taken}.")
    found += _of_viewings(session, sheet, tables)
    return tuple(found)


def _of_readings(gathered: Gathered, black_from: int | None) -> list[str]:
    found: list[str] = []
    match gathered.black_from:
        case "this print":
            found.append(BLACK_FROM_PRINT)
        case "earlier session":
            which = "an earlier" if black_from is None else f"session {black_from}, an"
            found.append(f"Black level taken from {which} accepted print.")
        case "not read":
            found.append("The black was not read, so the aim keeps its own.")
        case "not mapped" if gathered.out_of_reach:
            names = ", ".join(gathered.out_of_reach)
            found.append(f"Out of reach by choice of intent, not graded: {names}.")
    runs = gathered.pool.runs
    if any(taken.run.printed_as == "not stated" for taken in runs):
        found.append(
            "Not stated whether the patches were printed managed, as the picture was, or unmanaged: taken as "
            "managed."
        )
    if gathered.pool.condition is None:
        found.append("Measurement condition (M0 to M3) not stated.")
    if any(taken.run.stated.backing is None for taken in runs):
        found.append("Backing of the readings not stated.")
    if any(taken.run.stated.instrument is None for taken in runs):
        found.append("Instrument not stated.")
    if not gathered.pool.repeats_known:
        found.append("Too few repeat readings: a default spread is used.")
    return found


def _nothing_used(takens: Sequence[Taken]) -> str:
    if all(taken.run.printed_as == "unmanaged" for taken in takens):
        return "All readings are of patches printed unmanaged: they do not show how the picture prints."
    return "Bare paper was not read: nothing can be compared with it."


def _of_drying(session: Session, takens: Sequence[Taken], tables: Tables) -> list[str]:
    printed = session.condition.printed_at
    if printed is None:
        return ["Time of printing not stated: the print's age is not known."]
    wait = tables["drying_wait"]
    unconfirmed = " (unconfirmed)" if tables.thresholds["drying_wait"].mark == "MEMORY" else ""
    usual = f"{wait:g} h{unconfirmed}"
    read = sorted(set(read_at(takens)))
    looked = [viewing.started for viewing in session.heard]
    found = [
        f"{what} {_dated(at)}, before the stated printing on {_dated(printed)}: one of the two times is "
        "wrong, so the print's age is not known."
        for what, moments in (("Read on", read), ("Looked at on", looked))
        for at in impossible(printed, moments)
    ]
    ages = [one for at in read if (one := age(printed, at)) is not None]
    seen = [one for at in looked if (one := age(printed, at)) is not None]
    oldest = max(ages, key=lambda one: one.most, default=None)
    last = max(seen, key=lambda one: one.most, default=None)
    if oldest is not None and oldest.least < wait:
        if oldest.hours is not None:
            found.append(
                f"Read {_age(oldest.hours)} after printing; the wait is {usual}, "
                "as a fresh print still moves."
            )
        else:
            found.append(
                f"Read {_age(oldest.least)} to {_age(oldest.most)} after printing, as the file gives "
                f"only the day; the wait is {usual}."
            )
    if last is not None:
        if last.most < wait:
            found.append(f"Looked at {_age(last.most)} after printing; the wait is {usual}.")
        if oldest is not None and _far_apart(oldest, last, wait):
            found.append("The print was graded and read at different ages.")
    if not read and any(taken.run.printed_as != "unmanaged" for taken in takens):
        found.append("Time of reading not stated: whether the print was dry by then is not known.")
    return found


def _far_apart(read: Age, looked: Age, wait: float) -> bool:
    """Whether eye and instrument certainly met a print of different age, one of them while it was fresh."""
    apart = max(read.least - looked.most, looked.least - read.most)
    return apart > wait / 2 and min(read.most, looked.most) < wait


def _dated(at: datetime) -> str:
    """In UTC, so that it is the same on every machine; a day without a time as the file states it."""
    if day_alone(at):
        return f"{at.day} {at:%b %Y}"
    utc = at.astimezone(UTC)
    return f"{utc.day} {utc:%b %Y, %H:%M} UTC"


def _of_condition(session: Session, has_readings: bool) -> list[str]:
    condition = session.condition
    found: list[str] = []
    if has_readings and condition.intent is None:
        found.append("Rendering intent not stated: taken as relative colorimetric.")
    if (
        has_readings
        and condition.black_point_compensation is None
        and condition.intent in (None, "relative colorimetric")
    ):
        found.append("Black point compensation not stated: taken as on.")
    return found


def _of_viewings(session: Session, sheet: Sheet, tables: Tables) -> list[str]:
    found: list[str] = []
    revealed = {*session.revealed, *(region for viewing in session.viewings for region in viewing.revealed)}
    if revealed:
        count = len(revealed)
        regions = (
            "one region were shown before it was"
            if count == 1
            else f"{count} regions were shown before they were"
        )
        found.append(f"Readings of {regions} graded by eye; this is recorded.")
    led = {
        region
        for viewing in session.viewings
        for (region, _), answer in viewing.answers.items()
        if answer.after_reveal
    }
    if led:
        titles = ", ".join(region.title for region in sheet.regions if region.id in led)
        found.append(f"Answered after the readings were shown: {titles}.")
    longest = tables["longest_viewing"]
    for viewing in session.heard:
        times = [answer.at for answer in viewing.answers.values()]
        if times and (max(times) - min(times)).total_seconds() / 60 > longest:
            found.append(f"Viewing {viewing.ordinal} lasted longer than {longest:g} minutes.")
    return found


def _open(session: Session, item: str) -> bool:
    state = session.readiness.get(item)
    return state is None or state.mark in (None, "not done")


def _age(hours: float) -> str:
    return f"{round(hours * 60)} min" if hours < 2 else f"{hours:.0f} h"
