"""What is painted on a page, in pixels of its grid. Each mark paints any of its rows on its own.

A page is painted in strips, so that a sheet of any size needs the memory of one strip. Pixels are 16-bit RGB
in the sheet's encoding, arrays (rows, width, 3).
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final, Protocol

import numpy as np
from numpy.typing import NDArray

from evaluation.sheet.lettering import Coverage

Pixels = NDArray[np.uint16]
Array = NDArray[np.float64]

FULL: Final = 65535


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of whole pixels."""

    left: int
    top: int
    width: int
    height: int


class Mark(Protocol):
    """Something that paints a rectangle."""

    @property
    def box(self) -> Box: ...

    def paint(self, into: Pixels, first: int) -> None:
        """Paint rows `first`, `first + 1`, ... of the mark over `into` (rows, box.width, 3)."""
        ...


@dataclass(frozen=True, slots=True)
class Fill:
    """One colour."""

    box: Box
    colour: Pixels  # (3,)

    def paint(self, into: Pixels, first: int) -> None:
        into[...] = self.colour


@dataclass(frozen=True, slots=True)
class Ramp:
    """Columns of one colour each, `colours` (width, 3)."""

    box: Box
    colours: Pixels

    def paint(self, into: Pixels, first: int) -> None:
        into[...] = self.colours


@dataclass(frozen=True, slots=True)
class Ink:
    """Type: one colour laid over the ground by `coverage` (height, width), 0..255."""

    box: Box
    coverage: Coverage
    colour: Pixels

    def paint(self, into: Pixels, first: int) -> None:
        cover = self.coverage[first : first + len(into), :, None].astype(np.float32) / 255
        into[...] = np.rint(into + cover * (self.colour.astype(np.float32) - into))


@dataclass(frozen=True, slots=True)
class Modules:
    """A square code: equal squares, `dark` (n, n) or paper."""

    box: Box
    dark: NDArray[np.bool_]
    colour: Pixels

    def paint(self, into: Pixels, first: int) -> None:
        side = self.box.width // self.dark.shape[1]
        rows = self.dark[np.arange(first, first + len(into)) // side]
        into[np.repeat(rows, side, axis=1)] = self.colour


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines and gaps of `thick` pixels each, vertical (`upright`) or horizontal, on the native grid."""

    box: Box
    thick: int
    upright: bool
    colour: Pixels

    def paint(self, into: Pixels, first: int) -> None:
        if self.upright:
            into[:, np.arange(self.box.width) // self.thick % 2 == 0] = self.colour
        else:
            into[np.arange(first, first + len(into)) // self.thick % 2 == 0] = self.colour


@dataclass(frozen=True, slots=True)
class Chequer:
    """Single pixels, dark and paper in turn: any scaling on the way to the paper shows in it."""

    box: Box
    colour: Pixels

    def paint(self, into: Pixels, first: int) -> None:
        rows = np.arange(first, first + len(into))[:, None]
        into[(rows + np.arange(self.box.width)[None]) % 2 == 0] = self.colour


@dataclass(frozen=True, slots=True)
class Star:
    """Spokes that meet in the centre, with antialiased edges."""

    box: Box
    spokes: int
    colour: Pixels

    def paint(self, into: Pixels, first: int) -> None:
        radius = self.box.width / 2
        y = np.arange(first, first + len(into))[:, None] + 0.5 - self.box.height / 2
        x = np.arange(self.box.width)[None] + 0.5 - radius
        away = np.hypot(x, y)
        across = away / self.spokes  # pixels from the axis of a spoke to its edge, over the sine
        cover = np.clip(0.5 + across * np.sin(self.spokes * np.arctan2(y, x)), 0, 1)
        cover = np.where(away > radius - 0.5, 0, cover)[..., None]
        into[...] = np.rint(into + cover * (self.colour.astype(np.float64) - into))


@dataclass(frozen=True, slots=True)
class Drawn:
    """A pattern drawn from a formula: where on a run of colours each pixel lies.

    colours  (n, 3) source values * 65535, from 0 to 1 along the run
    place    of x, y, pixels from the upper left corner to the middle of each: 0..1 along the run
    """

    box: Box
    colours: Array
    place: Callable[[Array, Array], Array]

    def paint(self, into: Pixels, first: int) -> None:
        y, x = np.mgrid[first : first + len(into), 0 : self.box.width] + 0.5
        along = np.clip(self.place(x, y), 0, 1) * (len(self.colours) - 1)
        whole = np.minimum(along.astype(np.intp), len(self.colours) - 2)
        share = (along - whole)[..., None]
        into[...] = np.rint(self.colours[whole] * (1 - share) + self.colours[whole + 1] * share)


@dataclass(frozen=True, slots=True)
class OwnPicture:
    """The user's picture in the sheet's encoding: a pyvips image, 16-bit RGB, of the size of its box."""

    box: Box
    image: Any

    def paint(self, into: Pixels, first: int) -> None:
        rows = self.image.crop(0, first, self.box.width, len(into)).numpy()
        into[...] = rows[..., :3]


@dataclass(frozen=True, slots=True)
class KeptPixels:
    """Pixels that are at hand (height, width, 3), brought into the sheet's encoding as they are painted."""

    box: Box
    pixels: Pixels
    encoded: Callable[[Pixels], Pixels]

    def paint(self, into: Pixels, first: int) -> None:
        into[...] = self.encoded(np.asarray(self.pixels[first : first + len(into)]))
