"""A sheet to be drawn, and the files written for it. Values only."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.sheet.layout import ENCODINGS, Encoding

Progress = Callable[[int, int, str], None]  # done, in all, what is being written; may raise Cancelled

LOWEST_PPI: Final = 150
HIGHEST_PPI: Final = 720
MARGIN_MM: Final = 8.0  # on every side: a little more than most printers leave unprinted


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """One sheet to be drawn.

    size_mm   width, height
    ppi       pixels per inch
    encoding  of the source values
    mono      whether it is the sheet for a driver's black-and-white mode
    picture   the user's own picture, converted by its embedded profile; None for a sheet without region 9
    margins   top, right, bottom, left, mm: what the printer leaves unprinted
    seed      of the shuffled ring-around; None for a new one
    pages     whether all patches are drawn on pages of their own too
    form      whether the paper form for the booth is written
    roll_mm   width of the roll to be printed on; None for sheets
    """

    size_mm: tuple[float, float] = (330.2, 482.6)
    ppi: int = 300
    encoding: Encoding = "srgb"
    mono: bool = False
    picture: Path | None = None
    margins: tuple[float, float, float, float] = (MARGIN_MM,) * 4
    seed: int | None = None
    pages: bool = True
    form: bool = True
    roll_mm: float | None = None

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
        if self.mono and self.picture:
            raise UsageProblem(
                what,
                where="picture",
                expected="no picture on the mono sheet",
                found=str(self.picture),
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


@dataclass(frozen=True, slots=True)
class Written:
    """The files of one sheet, its code, and remarks, a sentence each."""

    sheet: Path
    patches: Path
    map: Path
    form: Path | None
    pages: tuple[Path, ...]
    code: str
    remarks: tuple[str, ...]
