"""The tables of an export, described once: CSV, JSON, Parquet and the dictionary are all made from this."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

# moment: UTC. numbers, texts: lists of them. A text is never empty: where there is none, nothing is there.
Type = Literal["text", "integer", "number", "boolean", "moment", "numbers", "texts"]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table, or of the folders that its files lie in."""

    name: str
    type: Type
    meaning: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class ExportTable:
    """A table: what a row stands for, which columns name it, and all columns in order."""

    name: str
    a_row_is: str
    key: tuple[str, ...]
    columns: tuple[Column, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Of its columns, in order."""
        return tuple(column.name for column in self.columns)


_GRADE: Final = "grade, 5 imperceptible to 1 very annoying (ITU-R BT.500)"
_SESSION: Final = Column("session", "text", "lasting name of the session, the same in every archive")
_VIEWING: Final = Column("viewing", "text", "lasting name of the viewing")
_RUN: Final = Column("run", "text", "lasting name of the run of readings")
_REGION: Final = Column("region", "text", "part of the sheet that is graded as one, by its id in the map")
_OBSERVER: Final = (
    Column("observer", "text", "who looked: a name, or a role such as observer 1"),
    Column("family", "text", "of a role: archives within which it is one person; a name is one everywhere"),
)
_WEIGHED: Final = (
    Column("settings", "text", "SHA-256 of the settings it was weighed with"),
    Column("weighed_at", "moment", "when it was weighed"),
)

PARTITIONS: Final = (
    Column("origin", "text", "what the archive was born as"),
    Column("month", "text", "in which the session was begun, the round or the test, UTC: 2026-11"),
)

_SESSIONS: Final = ExportTable(
    "sessions",
    "a session on the list",
    ("session",),
    (
        _SESSION,
        Column("number", "integer", "its number in the archive it was exported from"),
        Column("created", "moment", "when it was begun"),
        Column("copied_from", "text", "the session it was begun like"),
        Column("sheet", "text", "SHA-256 of the map it is scored with"),
        Column("state", "text", "how far it is"),
        Column("regions", "integer", "regions that have questions"),
        Column("looked", "integer", "of these, done in the newest viewing"),
        Column("verdict", "text", "for what the print is made for; none where no result is up to date"),
        Column("disagree", "integer", "regions where eye and readings disagree"),
        Column("weighed_at", "moment", "when the result was made"),
    ),
)

_CONDITIONS: Final = ExportTable(
    "conditions",
    "the printing condition of a session: how the file became ink on paper, as it was typed",
    ("session",),
    (
        _SESSION,
        Column("printed_at", "moment", "when it was printed"),
        Column("printer", "text", "printer"),
        Column("inks", "text", "ink set; with its lot where that was typed"),
        Column("paper", "text", "paper"),
        Column("media_setting", "text", "media setting of the driver"),
        Column("quality", "text", "print quality"),
        Column("direction", "text", "printed one way or both ways"),
        Column("driver_mode", "text", "driver mode"),
        Column("made_for", "text", "use the print is made for"),
        Column("tone_wanted", "text", "tone wanted in black and white"),
        Column("profile", "text", "file name of the profile"),
        Column("profile_digest", "text", "SHA-256 of the profile"),
        Column("intent", "text", "rendering intent"),
        Column("black_point_compensation", "boolean", "whether black point compensation was on"),
        Column("black_from", "text", "session whose black this print should reach"),
        Column("drying", "text", "how it dried"),
        Column("sheet_code", "text", "as printed on the sheet"),
        Column("sheet_width_mm", "number", "width of the sheet", "mm"),
        Column("sheet_height_mm", "number", "height of the sheet", "mm"),
        Column("absent", "texts", "regions of the map that this print lacks"),
    ),
)

_VIEWINGS: Final = ExportTable(
    "viewings",
    "one person looking at one print once",
    ("session", "viewing"),
    (
        _SESSION,
        _VIEWING,
        Column("number", "integer", "the first of its session is 1; a merge may count them anew"),
        Column("viewing_kind", "text", "full: every question; quick: faults and a grade for each region"),
        *_OBSERVER,
        Column("started", "moment", "when it began"),
        Column("reference", "text", "session whose accepted print lay beside it"),
        Column("set_aside", "text", "why it was left out of results; none where it counts"),
    ),
)

_ANSWERS: Final = ExportTable(
    "answers",
    "the answer to one question of a viewing; none in a region that the newest viewing has yet to grade,"
    " whoever gave it",
    ("session", "viewing", "region", "question"),
    (
        _SESSION,
        _VIEWING,
        _REGION,
        Column("question", "text", "its id in the map; `overall` is the region as a whole"),
        Column("answer", "text", "the answer as JSON, under a key that names its kind"),
        Column("grade", "number", f"{_GRADE}; none for answers of another kind"),
        Column("given_at", "moment", "when it was given"),
        Column("after_reveal", "boolean", "whether the readings of the region had been shown before"),
    ),
)

_FAULTS: Final = ExportTable(
    "faults",
    "a visible defect that a viewing found; regions are held back as in `answers`",
    ("session", "viewing", "region", "fault"),
    (
        _SESSION,
        _VIEWING,
        _REGION,
        Column("fault", "text", "its trade name"),
        Column("place", "text", "where on the region"),
    ),
)

_RUNS: Final = ExportTable(
    "runs",
    "one table of readings under one measurement condition that is in a session",
    ("session", "run"),
    (
        _SESSION,
        _RUN,
        Column("file", "text", "name of the file; none where it was typed by hand"),
        Column("part", "text", "which table of the file"),
        Column("condition", "text", "measurement condition, ISO 13655: M0 to M3"),
        Column("printed_as", "text", "managed, unmanaged or not stated"),
        Column("readings", "integer", "how many it has, those held back included"),
        Column("device_space", "text", "of `device`: RGB, CMYK, GREY, ..."),
        Column("wavelengths", "numbers", "of the spectra, rising", "nm"),
        Column("instrument", "text", "instrument, as stated"),
        Column("geometry", "text", "measurement geometry, as stated"),
        Column("backing", "text", "backing, as stated"),
        Column("measured_at", "moment", "when it was measured, as stated"),
        Column("added", "moment", "when it was taken in"),
    ),
)

_READINGS: Final = ExportTable(
    "readings",
    "one measured patch; none of a region that the newest viewing has yet to grade",
    ("session", "run", "reading"),
    (
        _SESSION,
        _RUN,
        Column("reading", "integer", "its place in the run, from 1"),
        Column("id", "text", "as in the file"),
        Column("name", "text", "as in the file"),
        Column("patch", "text", "patch of the sheet that it is a reading of"),
        _REGION,
        Column("role", "text", "of the patch: black, paper, field, ..."),
        Column("device", "numbers", "values that were printed, by channel of the device space", "0 to 1"),
        Column("lab_l", "number", "L*, D50 and 2 degrees, absolute; from the spectrum where there is one"),
        Column("lab_a", "number", "a*, likewise"),
        Column("lab_b", "number", "b*, likewise"),
        Column(
            "density",
            "number",
            "visual density, absolute (ISO 5-3); without a spectrum from Y, right for greys",
        ),
        Column("spectrum", "numbers", "reflectance factors at the run's wavelengths", "1 = perfect diffuser"),
    ),
)

_METRICS: Final = ExportTable(
    "metrics",
    "a number of a region, from readings, in the newest result that is up to date",
    ("session", "region", "metric"),
    (
        _SESSION,
        Column("region", "text", "region of the sheet; none for a number of the whole sheet"),
        Column("metric", "text", "its name; `drydown settings` lists them with their anchors"),
        Column("value", "number", "in the unit of its row"),
        Column("unit", "text", "unit; none for a ratio"),
        Column("spread", "number", "one standard error, in the same unit"),
        Column("place", "text", "where it is worst"),
        Column("patches", "integer", "patches behind it"),
        Column("comparison", "text", "absolute, or relative to the paper"),
    ),
)

_FINDINGS: Final = ExportTable(
    "findings",
    "what eye and readings say of a region, in the newest result that is up to date",
    ("session", "region"),
    (
        _SESSION,
        _REGION,
        Column("title", "text", "title of the region"),
        Column("kind", "text", "kind of region: neutral, skin, ..."),
        Column("eye", "number", f"of the eye: {_GRADE}"),
        Column("eye_spread", "number", "one standard error", "grades"),
        Column("viewings", "integer", "behind the eye's grade"),
        Column("instrument", "number", f"of the readings: {_GRADE}"),
        Column("instrument_spread", "number", "one standard error", "grades"),
        Column("combined", "number", "of both; none where they disagree"),
        Column("combined_spread", "number", "one standard error", "grades"),
        Column("agreement", "text", "whether eye and readings agree"),
        Column("why", "text", "in a sentence"),
        *_WEIGHED,
    ),
)

_VERDICTS: Final = ExportTable(
    "verdicts",
    "what all findings amount to for one use, in the newest result that is up to date",
    ("session", "use"),
    (
        _SESSION,
        Column("use", "text", "general, black and white, portrait, landscape"),
        Column("verdict", "text", "accepted, accepted with remarks, not accepted, undecided, incomplete"),
        Column("told", "text", "the word with how sure it is"),
        Column("likeliest", "text", "the likeliest word; none when incomplete"),
        Column("share", "number", "of simulated gradings that give it", "0 to 1"),
        Column("reasons", "texts", "in sentences"),
        Column("would_decide", "text", "what would settle an open verdict"),
        *_WEIGHED,
    ),
)

_SIDE_BY_SIDE: Final = ExportTable(
    "side_by_side",
    "two prints beside each other under letters, and which was named; only of rounds that are over, for the"
    " letters of others are a secret",
    ("round", "pair"),
    (
        Column("round", "text", "lasting name of the round"),
        Column("pair", "integer", "its place in the round, from 1"),
        Column("started", "moment", "when the round began"),
        *_OBSERVER,
        _REGION,
        Column("ask", "text", "what was asked: better, greyer"),
        Column("left_session", "text", "print on the left"),
        Column("right_session", "text", "print on the right"),
        Column("named", "text", "left, right, or none where no difference was seen"),
    ),
)

_TRIANGLES: Final = ExportTable(
    "triangles",
    "three sheets, two of them of one print, and which was named the odd one; only of tests that are over",
    ("test", "trial"),
    (
        Column("test", "text", "lasting name of the test"),
        Column("trial", "integer", "its place in the test, from 1"),
        Column("started", "moment", "when the test began"),
        *_OBSERVER,
        _REGION,
        Column("left_session", "text", "print on the left"),
        Column("middle_session", "text", "print in the middle"),
        Column("right_session", "text", "print on the right"),
        Column("named", "text", "left, middle or right"),
        Column("found", "boolean", "whether it was the odd one"),
    ),
)

TABLES: Final[Mapping[str, ExportTable]] = MappingProxyType(
    {
        table.name: table
        for table in (
            _SESSIONS,
            _CONDITIONS,
            _VIEWINGS,
            _ANSWERS,
            _FAULTS,
            _RUNS,
            _READINGS,
            _METRICS,
            _FINDINGS,
            _VERDICTS,
            _SIDE_BY_SIDE,
            _TRIANGLES,
        )
    }
)
