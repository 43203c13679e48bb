"""The patches of each region as pure functions of the encoding: the colour that each field is meant to have.

Colours are defined in CIELAB for D50 and converted to source values of the encoding. Source values are
rounded to two decimals on the scale 0..255, so that map, patch list and picture state the same number. Paper
is L* 100 and black L* 0 of the source; the profile maps both.
"""

import random
from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.encodings import rgb_from_xyz
from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.sheet.gradients import GRADIENT_STEPS, GRADIENTS, gradient_source
from evaluation.sheet.layout import Encoding, Patch, Triple
from evaluation.sheet.ramps import HUES, ramp_source
from evaluation.sheet.scenes.catalogue import SCENES
from evaluation.sheet.skins import SHADES, depths
from evaluation.sheet.tints import (
    COLOUR_TINTS,
    DEEP_BLACK,
    GLOSS_FIELDS,
    MONO_GLOSS_FIELDS,
    MONO_TINTS,
    PLACES,
    PROCESS_PATCHES,
)

Array = NDArray[np.float64]

SCALE: Final = 255.0
_DECIMALS: Final = 2

NEUTRAL_STEPS: Final = 21  # even in L*, 0..100
# Source L* of the steps at both ends, project's own choice: 0.4 L* apart at the black and at the paper, which
# is 1 to 2 levels of an 8-bit file, then wider and wider.
SHADOW_L: Final = (0.0, 0.4, 0.8, 1.2, 1.6, 2.0, 2.5, 3.2, 4.0, 5.0, 6.5, 8.5, 11.0, 14.0, 18.0, 24.0)
HIGHLIGHT_L: Final = (100.0, 99.6, 99.2, 98.8, 98.4, 98.0, 97.4, 96.6, 95.6, 94.0, 91.5, 88.0)
RING_GROUPS: Final = (("dark", 25.0), ("middle", 50.0), ("light", 75.0))  # source L*; project's own choice
RING_RADII: Final = (1.5, 3.0, 6.0)  # dCh
RING_ANGLES: Final = tuple(range(0, 360, 45))  # degrees of (da*, db*)


def sources(lab: Array, encoding: Encoding) -> tuple[Triple, ...]:
    """Source values, 0..1, of CIELAB for D50 (n, 3), clipped to the encoding and rounded as in a map."""
    rgb = rgb_from_xyz(xyz_from_lab(np.asarray(lab, dtype=np.float64)), encoding)
    return rounded(rgb)


def rounded(rgb: Array) -> tuple[Triple, ...]:
    """Source values (n, 3), 0..1, clipped and rounded as in a map: two decimals on the scale 0..255."""
    steps = np.round(np.clip(rgb, 0.0, 1.0) * SCALE, _DECIMALS) / SCALE
    return tuple((float(r), float(g), float(b)) for r, g, b in steps.tolist())


def greys(lightness: Sequence[float], encoding: Encoding) -> tuple[Triple, ...]:
    """Neutral source values, 0..1, of the given L*, with R = G = B exactly."""
    lab = np.zeros((len(lightness), 3))
    lab[:, 0] = lightness
    return tuple((g, g, g) for _, g, _ in sources(lab, encoding))


def neutral(encoding: Encoding, region: str = "neutral") -> tuple[Patch, ...]:
    """21 greys even in L*, from black (step 1) to paper (step 21)."""
    return _wedge("N", "grey", np.linspace(0.0, 100.0, NEUTRAL_STEPS).tolist(), encoding, region)


def shadow(encoding: Encoding, region: str = "shadow") -> tuple[Patch, ...]:
    """16 greys of L* 0..24, from black (step 1) up. Figure k on the sheet has the tone of step k."""
    return _wedge("S", "shadow", SHADOW_L, encoding, region)


def highlight(encoding: Encoding, region: str = "highlight") -> tuple[Patch, ...]:
    """12 greys of L* 100..88, from paper (step 1) down. Figure k on the sheet has the tone of step k."""
    return _wedge("H", "highlight", HIGHLIGHT_L, encoding, region)


def _wedge(
    code: str, word: str, lightness: Sequence[float], encoding: Encoding, region: str, series: str = "wedge"
) -> tuple[Patch, ...]:
    """Greys of the given L*, in order, as one series."""
    return tuple(
        Patch(
            id=f"{code}{step:02d}",
            name=f"{word} L* {value:.4g}",
            region=region,
            source=source,
            series=series,
            step=step,
        )
        for step, (value, source) in enumerate(zip(lightness, greys(lightness, encoding), strict=True), 1)
    )


def skin(encoding: Encoding, region: str = "skin") -> tuple[Patch, ...]:
    """24 flat patches: eight depths of skin, each in the light, as it is, and in half shade.

    The series is the depth, as "deep 2"; its first word is the depth group.
    """
    patches: list[Patch] = []
    for depth in depths():
        for step, source in enumerate(sources(depth.shaded(SHADES), encoding), 1):
            patches.append(
                Patch(
                    id=f"SK{len(patches) + 1:02d}",
                    name=f"skin {depth.series}, {SHADES[step - 1].name}",
                    region=region,
                    source=source,
                    series=depth.series,
                    step=step,
                )
            )
    return tuple(patches)


@lru_cache(maxsize=8)
def saturation(encoding: Encoding, region: str = "saturation") -> tuple[Patch, ...]:
    """12 ramps of 8 steps, from the grey of the cusp's lightness (step 1) to the encoding's edge (step 8)."""
    patches: list[Patch] = []
    for hue in HUES:
        for step, source in enumerate(rounded(ramp_source(hue, encoding)), 1):
            patches.append(
                Patch(
                    id=f"{hue.code}{step}",
                    name=f"{hue.name} {step}",
                    region=region,
                    source=source,
                    series=hue.name,
                    step=step,
                )
            )
    return tuple(patches)


def ring(encoding: Encoding, seed: int, region: str = "ring") -> tuple[Patch, ...]:
    """75 near-greys: three groups of a centre (step 1) and eight directions on rings of 1.5, 3 and 6 dCh.

    The name is the two-digit number printed beside the field; numbers are drawn by `seed` and do not reveal
    the place in the ring. `ring_order` is the order of a group on the sheet.
    """
    numbers = random.Random(seed).sample(
        range(10, 100), len(RING_GROUPS) * (1 + len(RING_RADII) * len(RING_ANGLES))
    )
    shifts = np.array(
        [(0.0, 0.0)]
        + [
            (radius * np.cos(np.radians(angle)), radius * np.sin(np.radians(angle)))
            for radius in RING_RADII
            for angle in RING_ANGLES
        ]
    )
    patches: list[Patch] = []
    for group, lightness in RING_GROUPS:
        lab = np.column_stack([np.full(len(shifts), lightness), shifts])
        for step, source in enumerate(sources(lab, encoding), 1):
            patches.append(
                Patch(
                    id=f"R{len(patches) + 1:02d}",
                    name=str(numbers[len(patches)]),
                    region=region,
                    source=source,
                    series=group,
                    step=step,
                )
            )
    return tuple(patches)


def ring_order(patches: Sequence[Patch]) -> tuple[Patch, ...]:
    """The fields of one ring group in the order of the sheet: by number, and numbers are drawn at random."""
    return tuple(sorted(patches, key=lambda patch: int(patch.name)))


def gradient(encoding: Encoding, region: str = "gradient") -> tuple[Patch, ...]:
    """Four gradients of 33 patches at even CIELAB distances."""
    return tuple(
        Patch(
            id=f"G{letter}{step:02d}",
            name=f"{run.name} {step}",
            region=region,
            source=source,
            series=run.name,
            step=step,
        )
        for letter, run in zip("ABCD", GRADIENTS, strict=True)
        for step, source in enumerate(rounded(gradient_source(run, GRADIENT_STEPS, encoding)), 1)
    )


def tone(encoding: Encoding, region: str = "mono_tone") -> tuple[Patch, ...]:
    """33 greys even in L* 0..100, the tone scale of the mono sheet."""
    even = np.linspace(0.0, 100.0, GRADIENT_STEPS).tolist()
    return _wedge("TS", "tone", even, encoding, region, "tone")


def tints(encoding: Encoding, mono: bool = False, region: str = "tints", bands: int = 1) -> tuple[Patch, ...]:
    """Nine tints, each at three places across the sheet, in so many bands along it; the series is the tint.

    With several bands, three places of the deep black between them follow. Steps count on from band to band.
    """
    colours = MONO_TINTS if mono else COLOUR_TINTS
    found = sources(np.array([lab for _, lab in colours]), encoding)
    named = list(zip("123456789", colours, found, strict=True))
    return tuple(
        Patch(
            id=f"E{number}{place[0].upper()}{band if band > 1 else ''}",
            name=f"{name}, {place}{f', band {band}' if band > 1 else ''}",
            region=region,
            source=source,
            series=name,
            step=(band - 1) * len(PLACES) + step,
        )
        for band in range(1, bands + 1)
        for number, (name, _), source in named
        for step, place in enumerate(PLACES, 1)
    ) + tuple(
        Patch(
            id=f"EB{place[0].upper()}",
            name=f"{DEEP_BLACK}, {place}",
            region=region,
            source=(0.0, 0.0, 0.0),
            series=DEEP_BLACK,
            step=step,
        )
        for step, place in enumerate(PLACES, 1)
        if bands > 1
    )


def gloss(encoding: Encoding, mono: bool = False, region: str = "gloss") -> tuple[Patch, ...]:
    """Five adjoining fields from bare paper to full ink: gloss is judged in their mirror reflection."""
    fields = MONO_GLOSS_FIELDS if mono else GLOSS_FIELDS
    found = sources(np.array([lab for _, lab in fields]), encoding)
    return tuple(
        Patch(id=f"GL{step}", name=f"gloss, {name}", region=region, source=source, series="gloss", step=step)
        for step, ((name, _), source) in enumerate(zip(fields, found, strict=True), 1)
    )


def chips(names: Sequence[str], encoding: Encoding, region: str, grey: bool = False) -> tuple[Patch, ...]:
    """Five flat colours of each picture named; the series is the picture. With `grey` by L* alone."""
    patches: list[Patch] = []
    for scene in (SCENES[name] for name in names):
        lab = np.array([chip.lab for chip in scene.chips])
        found = greys(lab[:, 0].tolist(), encoding) if grey else sources(lab, encoding)
        patches += (
            Patch(
                id=f"{scene.code}{step}",
                name=f"{scene.title}, {chip.name}",
                region=region,
                source=source,
                series=scene.title,
                step=step,
            )
            for step, (chip, source) in enumerate(zip(scene.chips, found, strict=True), 1)
        )
    return tuple(patches)


def process(encoding: Encoding) -> tuple[Patch, ...]:
    """Five patches of no region that show how the picture reached the paper."""
    found = sources(np.array([lab for _, lab in PROCESS_PATCHES]), encoding)
    return tuple(
        Patch(id=f"T{step}", name=name, region="", source=source, series="process", step=step)
        for step, ((name, _), source) in enumerate(zip(PROCESS_PATCHES, found, strict=True), 1)
    )
