"""The coloured regions of the page: skin, saturation, gradients, tints."""

from collections.abc import Sequence
from typing import Final

from evaluation.sheet.blocks_grey import grey_run
from evaluation.sheet.frames import Frame
from evaluation.sheet.gradients import GRADIENTS, gradient_source
from evaluation.sheet.layout import Patch
from evaluation.sheet.page import Page
from evaluation.sheet.skins import SHADES, depths
from evaluation.sheet.tints import PLACES

_GRADIENT_POINTS = 1025
TWINS: Final = ("grey, 16 bit", "grey, 8 bit")  # one gradient twice; the second in the steps of 8 bits
TWIN_L: Final = (18.0, 42.0)  # L*: so slow that the 8-bit steps are millimetres wide
EIGHT_BIT: Final = 255


def skin(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """Eight depths from light to deep in three groups, each in three amounts of light."""
    groups = {name: [depth for depth in depths() if depth.series.startswith(name)] for name in _groups()}
    parts = frame.columns(*(len(members) for members in groups.values()), gap=page.line * 0.8)
    for (name, members), part in zip(groups.items(), parts, strict=True):
        head, body = part.split_top(page.line)
        page.text(head.left, head.top + head.height * 0.7, name, colour=page.quiet)
        for depth, column in zip(
            members, body.columns(*[1.0] * len(members), gap=page.line * 0.2), strict=True
        ):
            own = [patch for patch in patches if patch.series == depth.series]
            for patch, cell in zip(own, column.rows(*[1.0] * len(SHADES)), strict=True):
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
    """Four continuous gradients with their names, and one of greys in 16 bits above itself in 8."""
    names = [run.name for run in GRADIENTS] + [*TWINS]
    label = max(page.text_width(name) for name in names) + page.line * 0.4
    grey = grey_run(page, *TWIN_L)
    sources = [gradient_source(run, _GRADIENT_POINTS, page.encoding) for run in GRADIENTS]
    for index, (name, row) in enumerate(
        zip(names, frame.rows(*[1.0] * len(names), gap=page.line * 0.25), strict=True)
    ):
        words, field = row.split_left(label)
        page.text(words.left, words.top + words.height / 2 + page.line * 0.27, name)
        levels = EIGHT_BIT if name == TWINS[1] else None
        page.ramp(field, sources[index] if index < len(sources) else grey, levels)


def tints(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """The same nine tints, by name, three times: at the left, in the middle and at the right of the sheet.

    They stand upright side by side, so that each is wide and high enough to show mottle and bands. Patches
    are those of one band.
    """
    for place, part in enumerate(frame.columns(1, 1, 1, gap=page.line * 2.4)):
        head, body = part.split_top(page.line)
        page.text(head.left, head.top + head.height * 0.7, PLACES[place], colour=page.quiet)
        own = [patch for patch in patches if ((patch.step or 1) - 1) % len(PLACES) == place]
        for patch, cell in zip(own, body.columns(*[1.0] * len(own)), strict=True):
            field, label = cell.split_bottom(page.line * 2.0)
            page.patch(patch, field)
            middle = label.left + label.width / 2
            for line, word in enumerate(patch.series.split()):
                baseline = label.top + page.line * (0.8 + 0.95 * line)
                page.text(middle, baseline, word, align="middle", colour=page.quiet)


def gloss(page: Page, frame: Frame, patches: Sequence[Patch]) -> None:
    """Five adjoining fields that a lamp's reflection is moved across, their numbers below."""
    fields, labels = frame.split_bottom(page.line)
    columns = [1.0] * len(patches)
    page.outline(fields)
    for patch, cell in zip(patches, fields.inset(page.line * 0.08).columns(*columns), strict=True):
        page.patch(patch, cell)
        middle, baseline = cell.left + cell.width / 2, labels.top + labels.height * 0.75
        page.text(middle, baseline, str(patch.step), align="middle", colour=page.quiet)
