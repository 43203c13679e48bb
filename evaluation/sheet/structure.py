"""Structure at low contrast, and edges and hairlines in colour: what sharpening, inks and paper do to it.

All patterns are drawn from formulas in millimetres, the same at every resolution; the finest are one pixel.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from evaluation.colorimetry.encodings import rgb_from_xyz
from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.sheet.blocks_grey import grey_run
from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Triple
from evaluation.sheet.marks import FULL, Drawn, Fill
from evaluation.sheet.noise import octaves
from evaluation.sheet.page import Array, Page
from evaluation.sheet.sizes import INCH

# Project's own choice throughout.
_LOWEST: Final = 0.25  # cycles per mm, at the left of the frequency field
_CONTRASTS: Final = (0.5, 40.0)  # L* peak to peak, at its top and at its foot
_STAR: Final = (50.0, 4.0, 36)  # L*, amplitude, spokes
_SLANT: Final = np.radians(5.0)
_EDGES: Final[tuple[tuple[str, Triple, Triple], ...]] = (
    ("grey edge", (30.0, 0.0, 0.0), (70.0, 0.0, 0.0)),
    ("inks' edge", (58.0, -32.0, -38.0), (58.0, 62.0, -14.0)),  # of one lightness: a rim is misregister
)
_GREY_EDGES: Final = (_EDGES[0], ("soft edge", (47.0, 0.0, 0.0), (53.0, 0.0, 0.0)))
_HAIRLINES: Final = (0.40, 0.30, 0.20, 0.14, 0.10, 0.07)  # mm, none below one pixel
_INKS: Final[tuple[Triple, ...]] = (
    (8.0, 0.0, 0.0),
    (56.0, -34.0, -44.0),
    (50.0, 74.0, -5.0),
    (90.0, -5.0, 92.0),
    (47.0, 66.0, 50.0),
    (50.0, -60.0, 28.0),
    (26.0, 22.0, -60.0),
)
_GREY_INKS: Final[tuple[Triple, ...]] = tuple(
    (L, 0.0, 0.0) for L in (8.0, 20.0, 32.0, 44.0, 56.0, 68.0, 80.0)
)
TEXTURES: Final = (8.0, 15.0, 50.0, 90.0, 97.0)  # L*, from 1, as the figures below say
_TEXTURE: Final = 1.5  # L*, root mean square, in waves of 3 mm down to the pixel
_NOISE_RMS: Final = 0.48  # of the octaves summed in a texture, found
_CORE: Final = 0.42  # of a texture's field, in the middle, even


def structure(page: Page, frame: Frame, *, coloured: bool) -> None:
    """All patterns in one row, each under its name."""
    head, body = frame.split_top(page.line)
    gap = page.line * 0.8
    side = body.height
    waves, rest = body.split_left(body.width * 0.27, gap)
    star, rest = rest.split_left(min(side, body.width * 0.13), gap)
    edges, rest = rest.split_left(body.width * 0.12, gap)
    hairs, texture = rest.columns(0.46, 0.54, gap=gap)
    _named(page, head, waves, f"frequency by contrast, to {page.ppi / INCH / 2:.1f} cycles/mm")
    _greys(page, waves, _waves(page, waves))
    _named(page, head, star, "soft star")
    square = Frame(star.left, star.top, min(star.width, side), min(star.width, side))
    _greys(page, square, _soft_star(page, square))
    _named(page, head, edges, "slanted edges")
    for (_, one, other), cell in zip(
        _EDGES if coloured else _GREY_EDGES, edges.rows(1, 1, gap=gap / 2), strict=True
    ):
        _edge(page, cell, one, other)
    _named(page, head, hairs, f"hairlines {_HAIRLINES[0]:g} to {_HAIRLINES[-1]:g} mm")
    _hairlines(page, hairs, _INKS if coloured else _GREY_INKS)
    _named(page, head, texture, "texture or even?")
    _textures(page, texture)


def _named(page: Page, head: Frame, below: Frame, name: str) -> None:
    """The name above a pattern; left out where it would run into the next."""
    if page.text_width(name) <= below.width:
        page.text(below.left, head.top + head.height * 0.7, name, colour=page.quiet)
    elif page.text_width(first := name.partition(",")[0].split(" by ")[0]) <= below.width:
        page.text(below.left, head.top + head.height * 0.7, first, colour=page.quiet)


def _greys(page: Page, frame: Frame, lightness: Callable[[Array, Array], Array]) -> None:
    """A pattern of greys: `lightness` is L* at x, y in mm."""
    mm = INCH / page.ppi
    page.put(
        Drawn(
            page.box(frame),
            grey_run(page, 0.0, 100.0) * FULL,
            lambda x, y: lightness(x * mm, y * mm) / 100,
        )
    )


def _waves(page: Page, frame: Frame) -> Callable[[Array, Array], Array]:
    """Waves that grow finer to the right and stronger downwards, both by equal factors."""
    finest = page.ppi / INCH / 2
    grow = np.log(finest / _LOWEST)
    low, high = _CONTRASTS

    def lightness(x: Array, y: Array) -> Array:
        phase = 2 * np.pi * _LOWEST * frame.width / grow * (np.exp(grow * x / frame.width) - 1)
        strength = low / 2 * (high / low) ** np.clip(y / frame.height, 0, 1)
        found: Array = 50.0 + strength * np.sin(phase)
        return found

    return lightness


def _soft_star(page: Page, frame: Frame) -> Callable[[Array, Array], Array]:
    """Spokes of little contrast; even where they would be finer than a pixel."""
    mean, strength, spokes = _STAR
    pitch = INCH / page.ppi
    radius = frame.width / 2

    def lightness(x: Array, y: Array) -> Array:
        x, y = x - radius, y - radius
        away = np.hypot(x, y)
        wave = np.clip(np.sin(spokes * np.arctan2(y, x)) * away / spokes / pitch * 2, -1, 1)
        seen = (away < radius) & (away > spokes * pitch / np.pi)
        return mean + np.where(seen, strength * wave, 0.0)

    return lightness


def _run(page: Page, *lab: Triple) -> Array:
    """(n, 3) source values * 65535 of colours in CIELAB."""
    colours: Array = np.clip(rgb_from_xyz(xyz_from_lab(np.array(lab)), page.encoding), 0.0, 1.0) * FULL
    if all(a == b == 0.0 for _, a, b in lab):
        colours = np.repeat(colours[:, 1:2], 3, axis=1)
    return colours


def _edge(page: Page, frame: Frame, one: Triple, other: Triple) -> None:
    """Two fields that meet at five degrees to the pixels, with a border one pixel soft."""
    box = page.box(frame)

    def place(x: Array, y: Array) -> Array:
        across = (x - box.width / 2) * np.cos(_SLANT) + (y - box.height / 2) * np.sin(_SLANT)
        shifted: Array = across + 0.5
        return shifted

    page.put(Drawn(box, _run(page, one, other), place))


def _hairlines(page: Page, frame: Frame, inks: tuple[Triple, ...]) -> None:
    """Lines of each colour on the paper, and below of paper on the colour."""
    upper, lower = frame.rows(1, 1, gap=page.line * 0.2)
    for ink, over, under in zip(
        inks,
        upper.columns(*[1.0] * len(inks)),
        lower.columns(*[1.0] * len(inks), gap=page.line * 0.15),
        strict=True,
    ):
        colour = page.ink(_run(page, ink)[0] / FULL)
        page.put(Fill(page.box(under), colour))
        for cell, line in ((over, colour), (under, page.ink((1.0, 1.0, 1.0)))):
            box = page.box(cell.inset(min(cell.width, cell.height) * 0.08))
            for number, wide in enumerate(_HAIRLINES):
                left = box.left + round(box.width * (number + 0.5) / len(_HAIRLINES))
                part = type(box)(left, box.top, max(1, page.pixels(wide)), box.height)
                page.put(Fill(part, line))


def _textures(page: Page, frame: Frame) -> None:
    """Fields of one faint texture at five lightnesses, the middle of each even, numbered below."""
    fields, labels = frame.split_bottom(page.line)
    for number, (L, cell) in enumerate(
        zip(TEXTURES, fields.columns(*[1.0] * len(TEXTURES), gap=page.line * 0.2), strict=True), 1
    ):
        _greys(page, cell, _texture(page, cell, L, number))
        middle = cell.left + cell.width / 2
        page.text(middle, labels.top + labels.height * 0.75, str(number), align="middle", colour=page.quiet)


def _texture(page: Page, frame: Frame, mean: float, seed: int) -> Callable[[Array, Array], Array]:
    pitch = INCH / page.ppi

    def lightness(x: Array, y: Array) -> Array:
        rough = octaves(x.astype(np.float32), y.astype(np.float32), 3.0, pitch * 0.5, 6, 0.8, 40 + seed)
        even = (np.abs(x / frame.width - 0.5) < _CORE / 2) & (np.abs(y / frame.height - 0.5) < _CORE / 2)
        return mean + np.where(even, 0.0, rough.astype(np.float64) / _NOISE_RMS * _TEXTURE)

    return lightness
