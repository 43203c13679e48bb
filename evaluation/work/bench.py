"""The bench a use case works at: archive, settings and clock. Every verb of `work` takes it first."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from evaluation.archive import documents
from evaluation.archive.connection import Archive
from evaluation.errors import SheetProblem
from evaluation.keyed import parsed
from evaluation.progress import USUAL, Clocks
from evaluation.session import Session
from evaluation.sheet import load
from evaluation.sheet.layout import Sheet

if TYPE_CHECKING:  # the profile engine carries numpy, which the first frame does without
    from evaluation.profile.prediction import Prediction

# Digests of profile and sheet, intent, black point compensation, distance from which a colour lies outside.
PromiseKey = tuple[str, str, str, bool, float]


def utc_now() -> datetime:
    """Now, in UTC, to the millisecond: the precision the archive keeps."""
    now = datetime.now(UTC)
    return now.replace(microsecond=now.microsecond // 1000 * 1000)


@dataclass(frozen=True, slots=True)
class Bench:
    """Where the work is done. `settings_text` is the user's weighing.toml, or None for the tables as shipped.

    One bench belongs to one thread, as its archive's connection does.
    """

    archive: Archive
    settings_text: str | None = None
    now: Callable[[], datetime] = utc_now
    sheets: dict[str, Sheet] = field(default_factory=dict, repr=False, compare=False)  # by digest
    promises: dict[PromiseKey, "Prediction"] = field(default_factory=dict, repr=False, compare=False)

    @property
    def clocks(self) -> Clocks:
        """How long the clocks of Prepare run: the user's settings, else as shipped."""
        return _clocks(self.settings_text)


def drydown_version() -> str:
    """The version of this program, as results and appendices name it."""
    from importlib.metadata import version  # 8 ms that the first frame does without

    return version("drydown")


def drawn_sheet_of(bench: Bench, session: Session) -> Sheet:
    """The sheet a session is scored with, parsed once from the map that was kept with it."""
    digest = session.sheet_digest
    if digest not in bench.sheets:
        name, content = documents.fetch(bench.archive, digest)
        bench.sheets[digest] = load.read_map(content.decode("utf-8"), name)
    return bench.sheets[digest]


def sheet_of(bench: Bench, session: Session) -> Sheet:
    """The sheet of a session without the regions that its print lacks."""
    sheet, absent = drawn_sheet_of(bench, session), session.condition.absent
    if not absent:
        return sheet
    name = f"{session.sheet_digest} without {absent}"
    if name not in bench.sheets:
        bench.sheets[name] = sheet.without(absent)
    return bench.sheets[name]


@lru_cache(maxsize=4)
def _clocks(settings_text: str | None) -> Clocks:
    """Read lightly, since Home does without the tables; mistakes of the file are reported when weighing."""
    if settings_text is None:
        return USUAL
    try:
        top = parsed(settings_text, "weighing.toml", what="No setting was read.")
        thresholds, routine = top.table("thresholds"), top.table("routine")
    except SheetProblem:
        return USUAL
    hours = thresholds.number("drying_wait", USUAL.drying / timedelta(hours=1), low=0, high=10_000)
    minutes = thresholds.number("adaptation", USUAL.adaptation / timedelta(minutes=1), low=0, high=600)
    days = routine.number("reference_every", USUAL.references / timedelta(days=1), low=1, high=1000)
    return Clocks(timedelta(hours=hours), timedelta(minutes=minutes), timedelta(days=days))
