"""What is asked of a sheet, and what was written for it. Values only."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.sheet.layout import ENCODINGS, Encoding

Progress = Callable[[int, int, str], None]  # done, total, what is being written; may raise Cancelled

LOWEST_PPI: Final = 150
HIGHEST_PPI: Final = 720
MARGIN_MM: Final = 8.0  # on every side: what most printers leave unprinted, and a little


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """One sheet to be drawn.

    size_mm   width, height
    margins   top, right, bottom, left, mm: what the printer leaves unprinted
    picture   the user's own picture, converted by its embedded profile; None: the sheet has no region 9
    seed      of the shuffled ring-around; None: a new one
    pages     whether the full patch list is drawn too, on pages of its own
    form      whether the paper form for the booth is written
    roll_mm   width of the roll to be printed on, if one is
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
        """The request itself. Raises UsageProblem for what cannot be drawn."""
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
                remedy="Leave out one of the two.",
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
    """The files of one sheet, its code, and what should be said about it, one sentence each."""

    sheet: Path
    patches: Path
    map: Path
    form: Path | None
    pages: tuple[Path, ...]
    code: str
    remarks: tuple[str, ...]
