"""The grey regions of the page: greyscale, ring-around, shadows, highlights, tone scale."""

from collections.abc import Sequence

import numpy as np

from evaluation.colorimetry.encodings import rgb_from_xyz
from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.sheet.fields import HIGHLIGHT_L, RING_GROUPS, SHADOW_L, ring_order
from evaluation.sheet.frames import Frame
from evaluation.sheet.layout import Patch, Triple
from evaluation.sheet.lettering import CAP_SHARE, POINT_MM
from evaluation.sheet.page import Array, Page

WHITE: Triple = (1.0, 1.0, 1.0)
BLACK: Triple = (0.0, 0.0, 0.0)
_RAMP_POINTS = 2049


def neutral(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """21 adjoining steps with their L* below, and the same range as one continuous ramp."""
    wedge, ramp = frame.rows(0.62, 0.38, gap=page.line * 0.25)
    steps, labels = wedge.split_bottom(page.line)
    for index, (patch, cell) in enumerate(zip(patches, steps.columns(*[1.0] * len(patches)), strict=True)):
        page.patch(patch, cell)
        lightness = f"{100 * index / (len(patches) - 1):.0f}"
        middle = cell.left + cell.width / 2
        page.text(middle, labels.top + labels.height * 0.75, lightness, align="middle", colour=page.quiet)
    page.ramp(ramp, grey_run(page, 0.0, 100.0))


def tone(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """33 adjoining steps above one long ramp."""
    steps, ramp = frame.rows(0.5, 0.5, gap=page.line * 0.3)
    for patch, cell in zip(patches, steps.columns(*[1.0] * len(patches)), strict=True):
        page.patch(patch, cell)
    page.ramp(ramp, grey_run(page, 0.0, 100.0))


def shadow(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """The steps with their L*, and below each its number in its own tone on the deepest black."""
    _steps_and_figures(page, frame, patches, SHADOW_L, BLACK)


def highlight(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """The steps with their L*, and below each its number in its own tone on bare paper."""
    _steps_and_figures(page, frame, patches, HIGHLIGHT_L, WHITE)


def _steps_and_figures(
    page: Page, frame: Frame, patches: Sequence[Patch], lightness: Sequence[float], ground: Triple
) -> None:
    upper, figures = frame.rows(0.56, 0.44)
    steps, labels = upper.split_bottom(page.line)
    columns = [1.0] * len(patches)
    page.fill(figures, ground)
    for number, (patch, L, cell, place) in enumerate(
        zip(patches, lightness, steps.columns(*columns), figures.columns(*columns), strict=True), 1
    ):
        page.patch(patch, cell)
        assert patch.source is not None
        middle = place.left + place.width / 2
        page.text(middle, labels.top + labels.height * 0.75, f"{L:g}", align="middle", colour=page.quiet)
        points = min(place.height * 0.78, place.width * 0.66) / POINT_MM
        baseline = place.top + (place.height + points * POINT_MM * CAP_SHARE) / 2
        page.text(middle, baseline, str(number), points=points, colour=page.ink(patch.source), align="middle")


def ring(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """Three groups of 25 fields on bare paper, in the order of their numbers, a field's width apart."""
    for (group, lightness), part in zip(
        RING_GROUPS, frame.columns(1, 1, 1, gap=page.line * 2.4), strict=True
    ):
        head, fields = part.split_top(page.line * 1.15)
        page.text(
            head.left, head.top + head.height * 0.7, f"{group} group, L* {lightness:.0f}", colour=page.quiet
        )
        own = ring_order([patch for patch in patches if patch.series == group])
        for patch, cell in zip(own, fields.grid(5, 5), strict=True):
            field = Frame(cell.left, cell.top, cell.width * 0.5, cell.height * 0.68)
            page.patch(patch, field)
            page.text(field.right + page.line * 0.25, field.bottom, patch.name)


def grey_run(page: Page, start: float, end: float) -> Array:
    """(2049, 3) source values, 0..1, of a neutral ramp linear in L* from `start` to `end`."""
    lab = np.zeros((_RAMP_POINTS, 3))
    lab[:, 0] = np.linspace(start, end, _RAMP_POINTS)
    rgb = rgb_from_xyz(xyz_from_lab(lab), page.encoding)
    return np.repeat(np.clip(rgb[:, 1:2], 0.0, 1.0), 3, axis=1)
