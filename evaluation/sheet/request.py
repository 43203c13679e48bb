"""A sheet to be drawn, and the files written for it. Values only."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.sheet.layout import ENCODINGS, Encoding, Feed
from evaluation.sheet.sizes import FITS_MM

OWN_PICTURES: Final = ("picture", "picture_2", "picture_3")  # regions of the user's own pictures, of one kind
Progress = Callable[[int, int, str], None]  # done, in all, what is being written; may raise Cancelled

LOWEST_PPI: Final = 150
HIGHEST_PPI: Final = 720
USUAL_PPI: Final = 300
MARGIN_MM: Final = 8.0  # on every side: a little more than most printers leave unprinted


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """One sheet to be drawn.

    size_mm   width, height
    ppi       pixels per inch
    encoding  of the source values
    mono      whether it is the sheet for a driver's black-and-white mode
    pictures  up to three of the user's own, each converted by its embedded profile and a region
    margins   top, right, bottom, left, mm: what the printer leaves unprinted
    scenes    whether the program's own pictures are on it
    seed      of the shuffled ring-around; None for a new one
    pages     whether all patches are drawn on pages of their own too
    form      whether the paper form for the booth is written
    form_size  its paper by name; None for the sheet's own, or A4
    roll_mm   width of the roll to be printed on; None for sheets
    feed      which side runs along the feed, "lengthwise" the longer one; None: as the sheet lies on the roll
    """

    size_mm: tuple[float, float] = (330.2, 482.6)
    ppi: int = USUAL_PPI
    encoding: Encoding = "srgb"
    mono: bool = False
    pictures: tuple[Path, ...] = ()
    scenes: bool = True
    margins: tuple[float, float, float, float] = (MARGIN_MM,) * 4
    seed: int | None = None
    pages: bool = True
    form: bool = True
    form_size: str | None = None
    roll_mm: float | None = None
    feed: Feed | None = None

    def checked(self) -> "SheetRequest":
        """The request itself. Raises UsageProblem for one that cannot be drawn."""
        what = "No sheet was written."
        if not LOWEST_PPI <= self.ppi <= HIGHEST_PPI:
            raise UsageProblem(
                what, where="ppi", expected=f"{LOWEST_PPI} to {HIGHEST_PPI}", found=str(self.ppi)
            )
        if self.encoding not in ENCODINGS:
            raise UsageProblem(
                what, where="encoding", expected=f"one of {', '.join(ENCODINGS)}", found=self.encoding
            )
        if len(self.pictures) > len(OWN_PICTURES):
            raise UsageProblem(
                what,
                where="picture",
                expected=f"at most {len(OWN_PICTURES)}",
                found=str(len(self.pictures)),
            )
        if self.mono and self.pictures:
            raise UsageProblem(
                what,
                where="picture",
                expected="no picture of your own on the mono sheet",
                found=", ".join(str(path) for path in self.pictures),
                remedy="Leave one of the two out.",
            )
        if any(not 0 <= margin <= 100 for margin in self.margins):
            raise UsageProblem(
                what,
                where="margins",
                expected="0 to 100 mm on each side",
                found=" ".join(f"{margin:g}" for margin in self.margins),
            )
        return self

    @property
    def fed(self) -> Feed:
        """Which side runs along the feed: as asked for, else as sheets are fed, else as it lies on the roll.

        Sheets are fed by a short edge; on a roll the picture lies as it is, or turned where it is too wide.
        """
        width, height = self.size_mm
        upright = width <= height
        if self.feed is not None:
            return self.feed
        if self.roll_mm is None or width > self.roll_mm + FITS_MM:
            return "lengthwise"
        return "lengthwise" if upright else "across"


@dataclass(frozen=True, slots=True)
class SheetFiles:
    """The files of one sheet, its code, and remarks, a sentence each. `leaves`: the second and third."""

    sheet: Path
    leaves: tuple[Path, ...]
    patches: Path
    map: Path
    form: Path | None
    pages: tuple[Path, ...]
    code: str
    remarks: tuple[str, ...]
