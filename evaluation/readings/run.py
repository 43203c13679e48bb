"""The nouns of a measurement: what a file or a hand gave, untouched, and what was matched to a sheet."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import MAXYEAR, datetime
from typing import Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Condition = Literal["M0", "M1", "M2", "M3"]  # ISO 13655
PrintedAs = Literal["managed", "unmanaged", "not stated"]
MatchedBy = Literal["id", "name", "source values", "device values", "order"]

CONDITIONS: Final[tuple[Condition, ...]] = get_args(Condition)
PRINTED_AS: Final[tuple[PrintedAs, ...]] = get_args(PrintedAs)
_FIRST_YEAR: Final = 1971  # clocks that were never set count from 1970; exchange files are younger


@dataclass(frozen=True, slots=True)
class Stated:
    """How it was measured, as the file or the user says. None: not stated, and never assumed.

    `measured_at` carries a zone: a time stated without one is local time, as a clock on the wall shows it.
    """

    condition: Condition | None = None
    illuminant: str | None = None  # of the CIELAB or XYZ columns: "D50", "D65", ...
    observer: str | None = None  # "2" or "10", degrees
    geometry: str | None = None
    backing: str | None = None  # "white", "black", or as written
    instrument: str | None = None
    measured_at: datetime | None = None
    said_by_user: frozenset[str] = frozenset()  # names of the fields above that a person filled in


@dataclass(frozen=True, slots=True)
class PatchRef:
    """One row of a measurement: the id and name it carries (as text) and its place in the file, from 1.

    `patch` is the sheet's patch it was matched to when it was taken in; "" before, or when it matches none.
    """

    id: str
    name: str
    row: int
    patch: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One measurement run under one condition, values exactly as given. Never changed once taken in.

    wavelengths  (bands,) nm, rising
    spectra      (n, bands) reflectance factor, 1.0 = perfect diffuser (may exceed 1 with whitener)
    lab, xyz     (n, 3) as given; XYZ with Y = 100 for the perfect diffuser
    device       (n, channels) the file's device or source columns, 0..1
    rounding     largest rounding of typed or printed CIELAB digits (0.1, 0.01); 0 when not known
    """

    patches: tuple[PatchRef, ...]
    stated: Stated
    printed_as: PrintedAs = "not stated"
    wavelengths: Array | None = None
    spectra: Array | None = None
    lab: Array | None = None
    xyz: Array | None = None
    device: Array | None = None
    device_space: str | None = None  # "RGB", "CMYK", "GREY", "5CLR", ...
    part: str = ""  # which table of the file
    source_name: str = ""  # file name, for people; "" when typed by hand
    source_digest: str | None = None  # the kept file
    reader: str = ""  # name and version of the reader
    rounding: float = 0.0
    remarks: tuple[str, ...] = ()  # oddities of the file a person should know
    id: int | None = None  # set by the archive

    def __len__(self) -> int:
        return len(self.patches)


def zoned(stated: datetime) -> datetime | None:
    """A stated time with its zone, local time where it names none; None where a clock was never set."""
    if not _FIRST_YEAR <= stated.year < MAXYEAR:  # nearer to the ends of the calendar no zone can be added
        return None
    return stated if stated.tzinfo is not None else stated.astimezone()


def when_measured(run: Run) -> float:
    """To sort runs by their time, in seconds since 1970; undated runs count as older than every dated one."""
    at = run.stated.measured_at
    return float("-inf") if at is None else at.timestamp()


@dataclass(frozen=True, slots=True, eq=False)
class Colours:
    """CIELAB and XYZ for D50 and the 2 degree observer, worked out from a run; (n, 3) each."""

    lab_d50: Array
    xyz_d50: Array
    basis: Literal["spectra", "lab", "xyz"]


@dataclass(frozen=True, slots=True, eq=False)
class Repeats:
    """Spread of patches that were read more than once: pooled over the repeated patches.

    covariance  (3, 3) of (L*, a*, b*) of one reading, or None without repeats
    mcdm        mean colour difference from the mean, dE*ab; p95 and largest likewise
    readings    how many readings, of how many patches
    """

    covariance: Array | None
    mcdm: float | None
    p95: float | None
    largest: float | None
    readings: int
    patches: int


@dataclass(frozen=True, slots=True, eq=False)
class Taken:
    """A run matched to a sheet. `matched` maps a patch id to its rows (indices, several when repeated)."""

    run: Run
    matched: Mapping[str, tuple[int, ...]]
    matched_by: MatchedBy
    unmatched_rows: tuple[int, ...]
    unmatched_patches: tuple[str, ...]
    repeats: Repeats
    remarks: tuple[str, ...]  # rows that look swapped, shifted or misread; never dropped
