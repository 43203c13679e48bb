"""Own reference prints in words: what is due, and how steady each eye has been; drift is never subtracted."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final, Protocol

from evaluation.judgement.observers.drift import FIRST, Drift
from evaluation.judgement.several import limit
from evaluation.plain_text import counted, listed
from evaluation.telling.figure import Figure, Line
from evaluation.telling.numbers import number, signed
from evaluation.telling.table import Table
from evaluation.telling.wording import day as day_words

NONE: Final = (
    "No print is kept as an own reference. Three to six of your own, which differ in one thing each, graded "
    "again among new ones, show whether your eye stays steady."
)
NEVER: Final = "Drift is shown and never subtracted: its error is about as large."


class Reference(Protocol):
    """A print that is kept, and when it was last graded."""

    @property
    def session(self) -> int: ...
    @property
    def paper(self) -> str: ...
    @property
    def graded(self) -> datetime | None: ...


class GradedDay(Protocol):
    """One observer's grades of one day against the first look at the same prints."""

    @property
    def day(self) -> date: ...
    @property
    def observer(self) -> str: ...
    @property
    def prints(self) -> Sequence[int]: ...
    @property
    def drift(self) -> Drift | None: ...


def due(one: Reference | None, now: datetime) -> str:
    """Which print is due to be graded again; "" if no print is."""
    if one is None or one.graded is None:
        return ""
    days = (now - one.graded).days
    paper = f", {one.paper}" if one.paper else ""
    return f"Reference due: session {one.session}{paper}, last graded {counted(days, 'day')} ago."


def kept(prints: Sequence[Reference]) -> str:
    """Which prints are kept, and whether they are too few."""
    if not prints:
        return NONE
    told = f"Own references: session {listed([str(one.session) for one in prints])}."
    least = limit("references_least")
    return told if len(prints) >= least else f"{told} {least:.0f} or more are wanted."


def steady(days: Sequence[GradedDay]) -> list[str]:
    """Of each observer, whether the newest grades of own references lie apart from the first ones."""
    newest = {one.observer: one.drift for one in days if one.drift is not None and one.drift != FIRST}
    told = []
    for observer, drift in newest.items():
        way = "kinder" if drift.by > 0 else "harsher"
        by = f"{number(abs(drift.by), 1)} ± {number(drift.error, 1)}"
        told.append(
            f"{observer} now grades own references {by} {way} than at first, over "
            f"{counted(drift.regions, 'region')}."
            if drift.beyond
            else f"{observer}: steady within the error, {signed(drift.by, 1)} ± {number(drift.error, 1)} "
            f"grades over {counted(drift.regions, 'region')}."
        )
    return [*told, NEVER] if told else ["No own reference was graded a second time yet."]


def table(days: Sequence[GradedDay]) -> Table:
    """A row a day and observer."""
    rows = []
    for one in days:
        prints = listed([str(each) for each in one.prints])
        if one.drift is None:
            cells = ("-", "-", "too few regions")
        elif one.drift == FIRST:
            cells = ("0", "-", "the first look")
        else:
            said = "beyond its error" if one.drift.beyond else "within its error"
            cells = (signed(one.drift.by, 2), number(one.drift.error, 2), said)
        rows.append((f"{one.day:%Y-%m-%d}", one.observer, prints, *cells))
    heads = ("day", "observer", "sessions", "drift", "error", "")
    return Table("Grades of own references, against the first look", heads, tuple(rows), right=(3, 4))


def chart(days: Sequence[GradedDay]) -> Figure | None:
    """Drift over days, a line an observer, with one standard error; None before a second look."""
    first = {one.observer: one for one in reversed(days)}
    shown = [
        one for one in days if one.drift is not None and (one.drift != FIRST or one == first[one.observer])
    ]
    if not any(one.drift != FIRST for one in shown):
        return None
    start = min(one.day for one in shown)
    lines = []
    for observer in dict.fromkeys(one.observer for one in shown):
        own = [(one.day, one.drift) for one in shown if one.observer == observer and one.drift is not None]
        lines.append(
            Line(
                observer,
                tuple(float((day - start).days) for day, _ in own),
                tuple(round(drift.by, 2) for _, drift in own),
                spread=tuple(round(drift.error, 2) for _, drift in own),
            )
        )
    return Figure(
        id="own-references",
        title="Grades of own references against the first look",
        x=f"days since {day_words(datetime(start.year, start.month, start.day))}",
        y="drift, grades",
        lines=tuple(lines),
        alt=f"Drift of {counted(len(lines), 'observer')} over their own references.",
        zero=True,
        y_range=(-1.0, 1.0),
    )
