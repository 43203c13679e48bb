"""Caveats of a result: what was not stated, what was not done, and where numbers rest on defaults."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from evaluation.judgement.table_rows import Calibration
from evaluation.judgement.tables import Tables
from evaluation.metrics.gather import Gathered
from evaluation.readings.age import Age, age, impossible, read_at
from evaluation.readings.run import Taken
from evaluation.session import READINESS, SERIOUS_READINESS, Session
from evaluation.sheet.layout import Sheet

Fact = Literal[
    "black from this print", "black from an earlier print", "black not read",
    "mode not stated", "condition not stated", "backing not stated", "instrument not stated",
    "too few repeats", "all unmanaged", "bare paper not read",
    "printing not stated", "reading not stated", "ages differ",
    "intent not stated", "compensation not stated",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class BlackOf:
    """The black of a session, an accepted print, is used."""

    session: int


@dataclass(frozen=True, slots=True)
class OutOfReach:
    """Titles of what the intent does not map, by choice."""

    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotDone:
    """Titles of readiness items."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LightNotMeasured:
    """`lux` is taken in its place; None: nothing rests on it."""

    lux: float | None


@dataclass(frozen=True, slots=True)
class BeforePrinting:
    """A reading or a look that is dated before the print was made."""

    read: bool
    at: datetime
    printed: datetime


@dataclass(frozen=True, slots=True)
class Fresh:
    """The print was read, or looked at, before it had dried for `wait` hours."""

    read: bool
    age: Age
    wait: float
    unconfirmed: bool


@dataclass(frozen=True, slots=True)
class Revealed:
    """So many regions whose readings were shown before they were graded."""

    regions: int


@dataclass(frozen=True, slots=True)
class Led:
    """Titles of regions answered after their readings were shown."""

    titles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LongViewing:
    ordinal: int
    minutes: float  # the limit


@dataclass(frozen=True, slots=True)
class WholeSheet:
    """The median over the regions, eye less readings, in grades."""

    apart: float


@dataclass(frozen=True, slots=True)
class Calibrated:
    """A calibration that the verdict uses, and the role of its observer in this session."""

    by: Calibration
    role: str


Caveat = (
    Fact
    | BlackOf
    | OutOfReach
    | NotDone
    | LightNotMeasured
    | BeforePrinting
    | Fresh
    | Revealed
    | Led
    | LongViewing
    | WholeSheet
    | Calibrated
)


def serious_open(session: Session) -> tuple[str, ...]:
    """Titles of serious readiness items that are not done; one that does not apply is not open."""
    return tuple(READINESS[item] for item in SERIOUS_READINESS if _open(session, item))


def whole_sheet(apart: float | None, tables: Tables) -> tuple[Caveat, ...]:
    """The eye lies off the readings everywhere; `apart`: their median, eye less readings."""
    return () if apart is None or abs(apart) <= tables["offset_said"] else (WholeSheet(apart),)


def calibrated(session: Session, tables: Tables) -> tuple[Caveat, ...]:
    """Every calibration that a result of this session uses."""
    looked = {viewing.observer for viewing in session.heard}
    return tuple(
        Calibrated(one, session.role(one.observer)) for one in tables.calibrations if one.observer in looked
    )


def caveats(
    session: Session,
    sheet: Sheet,
    takens: Sequence[Taken],
    gathered: Gathered | None,
    tables: Tables,
) -> tuple[Caveat, ...]:
    """Every caveat of a session, the weightiest first. None gives a value of any region.

    The age of a print is that at which it was read or looked at: no caveat comes or goes with the clock.
    """
    found: list[Caveat] = []
    if gathered is not None:
        found += _of_readings(gathered, session.condition.black_from)
    elif takens:
        unmanaged = all(taken.run.printed_as == "unmanaged" for taken in takens)
        found.append("all unmanaged" if unmanaged else "bare paper not read")
    found += _of_drying(session, takens, tables)
    if takens:
        found += _of_condition(session)
    still_open = tuple(title for item, title in READINESS.items() if _open(session, item))
    if still_open:
        found.append(NotDone(still_open))
    light = session.readiness.get("viewing_light")
    if light is not None and light.mark == "done" and "lux" not in light.detail:
        found.append(LightNotMeasured(tables["lux"] if takens else None))
    found += _of_viewings(session, sheet, tables)
    return tuple(found)


def _of_readings(gathered: Gathered, black_from: int | None) -> list[Caveat]:
    found: list[Caveat] = []
    match gathered.black_from:
        case "this print":
            found.append("black from this print")
        case "earlier session":
            found.append("black from an earlier print" if black_from is None else BlackOf(black_from))
        case "not read":
            found.append("black not read")
        case "not mapped" if gathered.out_of_reach:
            found.append(OutOfReach(tuple(gathered.out_of_reach)))
    runs = gathered.pool.runs
    if any(taken.run.printed_as == "not stated" for taken in runs):
        found.append("mode not stated")
    if gathered.pool.condition is None:
        found.append("condition not stated")
    if any(taken.run.stated.backing is None for taken in runs):
        found.append("backing not stated")
    if any(taken.run.stated.instrument is None for taken in runs):
        found.append("instrument not stated")
    if not gathered.pool.repeats_known:
        found.append("too few repeats")
    return found


def _of_drying(session: Session, takens: Sequence[Taken], tables: Tables) -> list[Caveat]:
    printed = session.condition.printed_at
    if printed is None:
        return ["printing not stated"]
    wait = tables["drying_wait"]
    unconfirmed = tables.thresholds["drying_wait"].mark == "MEMORY"
    read = sorted(set(read_at(takens)))
    looked = [viewing.started for viewing in session.heard]
    found: list[Caveat] = [
        BeforePrinting(by_instrument, at, printed)
        for by_instrument, moments in ((True, read), (False, looked))
        for at in impossible(printed, moments)
    ]
    ages = [one for at in read if (one := age(printed, at)) is not None]
    seen = [one for at in looked if (one := age(printed, at)) is not None]
    oldest = max(ages, key=lambda one: one.most, default=None)
    last = max(seen, key=lambda one: one.most, default=None)
    if oldest is not None and oldest.least < wait:
        found.append(Fresh(True, oldest, wait, unconfirmed))
    if last is not None:
        if last.most < wait:
            found.append(Fresh(False, last, wait, unconfirmed))
        if oldest is not None and _far_apart(oldest, last, wait):
            found.append("ages differ")
    if not read and any(taken.run.printed_as != "unmanaged" for taken in takens):
        found.append("reading not stated")
    return found


def _far_apart(read: Age, looked: Age, wait: float) -> bool:
    """Whether eye and instrument certainly met a print of different age, one of them while it was fresh."""
    apart = max(read.least - looked.most, looked.least - read.most)
    return apart > wait / 2 and min(read.most, looked.most) < wait


def _of_condition(session: Session) -> list[Caveat]:
    condition = session.condition
    found: list[Caveat] = []
    if condition.intent is None:
        found.append("intent not stated")
    if condition.black_point_compensation is None and condition.intent in (None, "relative colorimetric"):
        found.append("compensation not stated")
    return found


def _of_viewings(session: Session, sheet: Sheet, tables: Tables) -> list[Caveat]:
    found: list[Caveat] = []
    revealed = {*session.revealed, *(region for viewing in session.viewings for region in viewing.revealed)}
    if revealed:
        found.append(Revealed(len(revealed)))
    led = {
        region
        for viewing in session.viewings
        for (region, _), answer in viewing.answers.items()
        if answer.after_reveal
    }
    if led:
        found.append(Led(tuple(region.title for region in sheet.regions if region.id in led)))
    longest = tables["longest_viewing"]
    for viewing in session.heard:
        times = [answer.at for answer in viewing.answers.values()]
        if times and (max(times) - min(times)).total_seconds() / 60 > longest:
            found.append(LongViewing(viewing.ordinal, longest))
    return found


def _open(session: Session, item: str) -> bool:
    state = session.readiness.get(item)
    return state is None or state.mark in (None, "not done")
