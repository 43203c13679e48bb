"""The coloured regions of the page: skin, saturation, gradients, tints."""

from collections.abc import Sequence

import numpy as np

from evaluation.colorimetry.encodings import rgb_from_xyz
from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.sheet.frames import Frame
from evaluation.sheet.gradients import GRADIENTS, gradient_source
from evaluation.sheet.layout import Patch
from evaluation.sheet.marks import FULL, Sphere
from evaluation.sheet.page import Page
from evaluation.sheet.skins import SHADES, depths
from evaluation.sheet.tints import PLACES

_ILLUMINANCE = np.linspace(0.0, 1.3, 400)  # shares of light on the spheres
_GRADIENT_POINTS = 1025


def skin(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """Eight spheres from light to deep in three groups, three flat patches below each."""
    groups = {name: [depth for depth in depths() if depth.series.startswith(name)] for name in _groups()}
    parts = frame.columns(*(len(members) for members in groups.values()), gap=page.line * 1.2)
    for (name, members), part in zip(groups.items(), parts, strict=True):
        head, body = part.split_top(page.line)
        page.text(head.left, head.top + head.height * 0.7, name, colour=page.quiet)
        for depth, column in zip(
            members, body.columns(*[1.0] * len(members), gap=page.line * 0.35), strict=True
        ):
            ball, flats = column.split_top(min(column.width, column.height * 0.45), gap=page.line * 0.3)
            diameter = min(ball.width, ball.height)
            place = ball.middle(diameter, diameter)
            box = page.box(Frame(place.left, place.top, diameter, diameter))
            rgb = rgb_from_xyz(xyz_from_lab(depth.lit(_ILLUMINANCE)), page.encoding)
            page.put(Sphere(box, _ILLUMINANCE, np.clip(rgb, 0.0, 1.0) * FULL))
            own = [patch for patch in patches if patch.series == depth.series]
            for patch, cell in zip(own, flats.rows(*[1.0] * len(SHADES)), strict=True):
                page.patch(patch, cell)


def _groups() -> tuple[str, ...]:
    return tuple(dict.fromkeys(depth.series.split()[0] for depth in depths()))


def saturation(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """Twelve numbered ramps in two columns, from grey at the left to the encoding's edge at the right."""
    names = list(dict.fromkeys(patch.series for patch in patches))
    label = max(page.text_width(name) for name in names) + page.line * 0.4
    half = (len(names) + 1) // 2
    for part, own in zip(frame.columns(1, 1, gap=page.line * 1.2), (names[:half], names[half:]), strict=True):
        head, body = part.split_top(page.line)
        for step, column in enumerate(head.split_left(label)[1].columns(*[1.0] * 8), 1):
            middle = column.left + column.width / 2
            page.text(middle, head.top + head.height * 0.7, str(step), align="middle", colour=page.quiet)
        for name, row in zip(own, body.rows(*[1.0] * half, gap=page.line * 0.25), strict=True):
            words, cells = row.split_left(label)
            page.text(words.left, words.top + words.height / 2 + page.line * 0.27, name)
            ramp = [patch for patch in patches if patch.series == name]
            for patch, cell in zip(ramp, cells.columns(*[1.0] * len(ramp)), strict=True):
                page.patch(patch, cell)


def gradient(page: Page, frame: Frame) -> None:
    """Four continuous gradients with their names."""
    label = max(page.text_width(run.name) for run in GRADIENTS) + page.line * 0.4
    for run, row in zip(GRADIENTS, frame.rows(*[1.0] * len(GRADIENTS), gap=page.line * 0.3), strict=True):
        words, field = row.split_left(label)
        page.text(words.left, words.top + words.height / 2 + page.line * 0.27, run.name)
        page.ramp(field, gradient_source(run, _GRADIENT_POINTS, page.encoding))


def tints(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """The same nine tints three times: at the left, in the middle and at the right of the sheet."""
    for step, part in enumerate(frame.columns(1, 1, 1, gap=page.line * 2.4), 1):
        head, body = part.split_top(page.line)
        page.text(head.left, head.top + head.height * 0.7, PLACES[step - 1], colour=page.quiet)
        own = [patch for patch in patches if patch.step == step]
        for patch, cell in zip(own, body.grid(3, 3), strict=True):
            page.patch(patch, cell)
