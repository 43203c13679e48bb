"""A page being composed: millimetres in, marks on the native pixel grid and their areas out."""

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from evaluation.sheet import fields
from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Area, Encoding, Feed, Patch, Triple
from evaluation.sheet.lettering import POINT_MM, SMALLEST_PT, Coverage, lettered, width
from evaluation.sheet.marks import FULL, Box, Fill, Ink, Mark, Pixels, Ramp
from evaluation.sheet.sizes import INCH

Array = NDArray[np.float64]
Align = Literal["left", "middle", "right"]

_READING_L = 30.0  # L* of titles and figures: dark enough to read, lighter than the blacks to be judged
_QUIET_L = 48.0  # L* of explanations


class Page:
    """Marks in painting order, and the areas of patches and regions as fractions of the page."""

    def __init__(
        self,
        size_mm: tuple[float, float],
        ppi: int,
        encoding: Encoding,
        feed: Feed = "lengthwise",
        leaf: int = 1,
    ) -> None:
        self.size_mm = size_mm
        self.feed = feed
        self.leaf = leaf
        self.ppi = ppi
        self.encoding = encoding
        self.width = round(size_mm[0] / INCH * ppi)
        self.height = round(size_mm[1] / INCH * ppi)
        self.marks: list[Mark] = []
        self.patch_areas: dict[str, Area] = {}
        self.region_areas: dict[str, Area] = {}
        tones = fields.greys([0.0, _READING_L, _QUIET_L], encoding)
        self.black, self.reading, self.quiet = (self.ink(tone) for tone in tones)
        # Type grows with the sheet, but more slowly: large sheets are read from near too.
        self.points = SMALLEST_PT * float(max(1.0, (min(size_mm) / 200.0) ** 0.4))

    @property
    def line(self) -> float:
        """Height of a line of small type, mm."""
        return self.points * POINT_MM * 1.3

    def along(self, *, across: bool) -> str:
        """What runs from left to right (`across`) or top to bottom is called, by how the sheet is fed."""
        upright = (self.size_mm[1] >= self.size_mm[0]) == (self.feed == "lengthwise")
        return "across" if across == upright else "along feed"

    def ink(self, source: Triple | Array) -> Pixels:
        """Source values, 0..1, as 16-bit pixels."""
        pixels: Pixels = np.rint(np.asarray(source) * FULL).astype(np.uint16)
        return pixels

    def pixels(self, mm: float) -> int:
        """Millimetres as whole pixels."""
        return round(mm / INCH * self.ppi)

    def box(self, frame: Frame) -> Box:
        """The pixels of a frame. Frames that touch in millimetres touch in pixels."""
        left, top = self.pixels(frame.left), self.pixels(frame.top)
        return Box(left, top, self.pixels(frame.right) - left, self.pixels(frame.bottom) - top)

    def area(self, box: Box) -> Area:
        """A box as fractions of the page."""
        return Area(
            round(box.left / self.width, 5),
            round(box.top / self.height, 5),
            round(box.width / self.width, 5),
            round(box.height / self.height, 5),
            self.leaf,
        )

    def put(self, mark: Mark) -> None:
        """Add a mark on top of the others."""
        self.marks.append(mark)

    def fill(self, frame: Frame, source: Triple) -> None:
        """A frame of one colour, source values 0..1."""
        self.put(Fill(self.box(frame), self.ink(source)))

    def patch(self, patch: Patch, frame: Frame) -> None:
        """A field of one patch; where it is placed several times the last place is the one to be read."""
        assert patch.source is not None
        box = self.box(frame)
        self.put(Fill(box, self.ink(patch.source)))
        self.patch_areas[patch.id] = self.area(box)

    def ramp(self, frame: Frame, sources: Array, levels: int | None = None) -> None:
        """A smooth run through source values (n, 3), 0..1, the first and the last in the outer columns.

        With `levels` it goes through a file of so many steps first, and keeps them.
        """
        box = self.box(frame)
        places = np.linspace(0, len(sources) - 1, box.width)
        columns = np.column_stack(
            [np.interp(places, np.arange(len(sources)), channel) for channel in sources.T]
        )
        if levels is not None:
            columns = np.rint(columns * levels) / levels
        self.put(Ramp(box, self.ink(columns)))

    def outline(self, frame: Frame) -> None:
        """A hairline along the inner edge of a frame, whose field would else have none against the paper."""
        box, thick = self.box(frame), max(1, self.pixels(0.1))
        for side in (
            Box(box.left, box.top, box.width, thick),
            Box(box.left, box.top + box.height - thick, box.width, thick),
            Box(box.left, box.top, thick, box.height),
            Box(box.left + box.width - thick, box.top, thick, box.height),
        ):
            self.put(Fill(side, self.quiet))

    def text(
        self,
        left: float,
        baseline: float,
        text: str,
        *,
        points: float | None = None,
        colour: Pixels | None = None,
        align: Align = "left",
    ) -> float:
        """One line of type; returns its width, mm. `left` is its left end, middle or right end."""
        pixels = (points or self.points) * POINT_MM / INCH * self.ppi
        coverage, origin, base = lettered(text, pixels)
        advance = width(text, pixels)
        start = left / INCH * self.ppi - {"left": 0.0, "middle": advance / 2, "right": advance}[align]
        self._ink(round(start) - origin, self.pixels(baseline) - base, coverage, colour)
        return advance * INCH / self.ppi

    def _ink(self, left: int, top: int, coverage: Coverage, colour: Pixels | None) -> None:
        """Add type; without margins its soft edge may lie beyond the page."""
        above, before = max(0, -top), max(0, -left)
        seen = coverage[above : self.height - top, before : self.width - left]
        high, wide = seen.shape
        if seen.size:
            box = Box(left + before, top + above, wide, high)
            self.put(Ink(box, seen, self.reading if colour is None else colour))

    def text_width(self, text: str, points: float | None = None) -> float:
        """Width in mm of a line of type."""
        pixels = (points or self.points) * POINT_MM / INCH * self.ppi
        return width(text, pixels) * INCH / self.ppi

    def rule(self, left: float, top: float, length: float) -> None:
        """A thin horizontal line to write on."""
        thick = max(1, self.pixels(0.12))
        self.put(Fill(Box(self.pixels(left), self.pixels(top), self.pixels(length), thick), self.quiet))

    def caption(self, frame: Frame, number: int | None, title: str, shows: str, note: str = "") -> Frame:
        """Number, title and what the region shows on one line, and a note at its right end if there is room.

        Returns what is left of the frame below.
        """
        baseline = frame.top + self.points * POINT_MM * 1.15
        left = frame.left
        if number is not None:
            left += self.text(left, baseline, str(number), points=self.points * 1.6) + self.line * 0.45
        left += self.text(left, baseline, title, points=self.points * 1.15) + self.line * 0.6
        if left + self.text_width(shows) <= frame.right:
            left += self.text(left, baseline, shows, colour=self.quiet) + self.line
        if note and left + self.text_width(note) <= frame.right:
            self.text(frame.right, baseline, note, colour=self.quiet, align="right")
        return frame.split_top(self.line * 1.3, 0.0)[1]

    def region(self, region_id: str, frame: Frame) -> None:
        """Record where a region lies."""
        self.region_areas[region_id] = self.area(self.box(frame))
