"""The nouns of a measurement: readings as a file or a hand gave them, and as matched to a sheet."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import MAXYEAR, datetime
from typing import Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Condition = Literal["M0", "M1", "M2", "M3"]  # ISO 13655
PrintedAs = Literal["managed", "unmanaged", "not stated"]
MatchedBy = Literal["id", "name", "source values", "device values", "order"]

CONDITIONS: Final[tuple[Condition, ...]] = get_args(Condition)
MATCHED_BY: Final[tuple[MatchedBy, ...]] = get_args(MatchedBy)
PRINTED_AS: Final[tuple[PrintedAs, ...]] = get_args(PrintedAs)
_VERSION: Final = re.compile(r" \d+$")  # of a reader
_FIRST_YEAR: Final = 1971  # a clock that was never set counts from 1970


@dataclass(frozen=True, slots=True)
class Stated:
    """How it was measured, as the file or the user states. None: not stated, and never assumed.

    `measured_at` has a zone: a time stated without one is local time.
    """

    condition: Condition | None = None
    illuminant: str | None = None  # of the CIELAB or XYZ columns: "D50", "D65", ...
    observer: str | None = None  # "2" or "10", degrees
    geometry: str | None = None
    backing: str | None = None  # "white", "black", or as written
    instrument: str | None = None
    measured_at: datetime | None = None
    said_by_user: frozenset[str] = frozenset()  # names of the fields that a person filled in
    made_profile: bool | None = None  # whether the profile was made from these readings: only people say so


@dataclass(frozen=True, slots=True)
class PatchRef:
    """One row of a measurement: its id and name, and its place in the file, from 1.

    `patch` is the patch of the sheet that it was matched to when it was taken in, "" where none is.
    `place` is where it lies, "page 1, row 2, column 3", as far as the file states it.
    `numbered`: the file gives no id, and `id` only counts its rows; known until the run is kept.
    """

    id: str
    name: str
    row: int
    patch: str = ""
    place: str = ""
    numbered: bool = False

    @property
    def own_id(self) -> str:
        """The id that its file gives; "" where there is none."""
        return "" if self.numbered else self.id

    @property
    def strip(self) -> str:
        """The row of its chart, which an instrument reads at a go: "page 1, row 2"; "" where not stated."""
        return self.place.rpartition(", column ")[0]


@dataclass(frozen=True, slots=True, eq=False)
class Densities:
    """Densities that the instrument gave, beside those computed here; never used for a result.

    filters  what each column was read through: "visual", "red", "green", "blue", "major" (the largest)
    values   (n, k); nan where the file has no number
    status   of the filters, ISO 5-3: "A", "E", "I", "M" or "T"; None: not stated
    """

    filters: tuple[str, ...]
    values: Array
    status: str | None = None

    def mean(self, filter_: str, rows: Sequence[int]) -> float | None:
        """Of some rows through one filter; None where nothing was read through it."""
        if filter_ not in self.filters:
            return None
        read = self.values[list(rows), self.filters.index(filter_)]
        read = read[np.isfinite(read)]
        return float(read.mean()) if len(read) else None


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One run of n readings under one measurement condition, as given. Never changed once taken in.

    Attributes
    ----------
    patches, stated, printed_as
        The rows, how they were measured, and how their sheet was printed.
    wavelengths : (bands,)
        nm, rising.
    spectra : (n, bands)
        Reflectance factors, 1 = perfect diffuser; above 1 where optical brightener glows.
    lab, xyz : (n, 3)
        CIELAB and XYZ as given; Y = 100 for the perfect diffuser.
    device : (n, channels)
        The file's device or source columns, 0..1.
    densities
        As the instrument gave them.
    rounding
        Value of the last digit of CIELAB typed or written in decimals (0.1, 0.01); 0 where not known.
    remarks
        Oddities of the file that a person should know.
    matched_by
        How its rows were matched when it was taken in; None before, and in runs that do not have it kept.
    """

    patches: tuple[PatchRef, ...]
    stated: Stated
    printed_as: PrintedAs = "not stated"
    wavelengths: Array | None = None
    spectra: Array | None = None
    lab: Array | None = None
    xyz: Array | None = None
    device: Array | None = None
    densities: Densities | None = None
    device_space: str | None = None  # "RGB", "CMYK", "GREY", "5CLR", ...
    part: str = ""  # which table of the file
    source_name: str = ""  # file name, for people; "" when typed by hand
    source_digest: str | None = None  # the kept file
    reader: str = ""  # name and version of the reader
    rounding: float = 0.0
    remarks: tuple[str, ...] = ()
    matched_by: MatchedBy | None = None
    id: int | None = None  # set by the archive

    def __len__(self) -> int:
        return len(self.patches)

    @property
    def format(self) -> str:
        """What the file is, from the name of its reader: "ISO 28178 text"."""
        return _VERSION.sub("", self.reader)


def zoned(stated: datetime) -> datetime | None:
    """A stated time with its zone, local time where it names none; None where the clock was never set."""
    if not _FIRST_YEAR <= stated.year < MAXYEAR:  # at the ends of the calendar no zone can be added
        return None
    return stated if stated.tzinfo is not None else stated.astimezone()


def when_measured(run: Run) -> float:
    """Seconds since 1970, to sort runs by; undated runs come before every dated one."""
    at = run.stated.measured_at
    return float("-inf") if at is None else at.timestamp()


@dataclass(frozen=True, slots=True, eq=False)
class Colours:
    """CIELAB and XYZ of a run for D50 and the 2 degree observer, (n, 3) each, and what they are from."""

    lab_d50: Array
    xyz_d50: Array
    basis: Literal["spectra", "lab", "xyz"]


@dataclass(frozen=True, slots=True, eq=False)
class Repeats:
    """Spread of patches that were read more than once, pooled over them; None each without repeats.

    covariance         (3, 3) of (L*, a*, b*) of one reading
    mcdm               mean colour difference from the mean, dE*ab; `p95` and `largest` likewise
    readings, patches  how many readings, of how many patches
    squares            by class of colour (`colour_classes`): summed squares (3, 3), degrees of freedom
    """

    covariance: Array | None
    mcdm: float | None
    p95: float | None
    largest: float | None
    readings: int
    patches: int
    squares: Mapping[int, tuple[Array, int]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, eq=False)
class Taken:
    """A run matched to a sheet. `matched` maps a patch id to the indices of its rows."""

    run: Run
    matched: Mapping[str, tuple[int, ...]]
    matched_by: MatchedBy
    unmatched_rows: tuple[int, ...]
    unmatched_patches: tuple[str, ...]
    repeats: Repeats
    remarks: tuple[str, ...]  # rows that look swapped, shifted or misread; never dropped
