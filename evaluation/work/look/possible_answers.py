"""What a question can take on this sheet: the numbers, figures and ramps that are printed there."""

from typing import Final

from evaluation.plain_text import shortened
from evaluation.session import Count, Pick, Place, Value
from evaluation.sheet.layout import Patch, Question, Sheet, SheetRegion

# Where something was seen on a region that names no ramp, gradient or tint.
_CORNERS: Final = ("upper left", "upper right", "middle", "lower left", "lower right")


def misfit(sheet: Sheet, region: SheetRegion, question: Question, value: Value) -> tuple[str, str] | None:
    """What was expected and what was found, when an answer names something the sheet does not show.

    A map without patches for a region, or without steps, says nothing about what can be named there.
    """
    found = type(value).__name__.lower()
    if found != question.answer:
        return f"a {question.answer}", f"a {found}"
    match value:
        case Count():
            return _counted(value, _patches(sheet, region))
        case Pick():
            return _picked(value, pickable(sheet, region, question))
        case Place():
            return _placed(value, _patches(sheet, region))
    return None


def pickable(sheet: Sheet, region: SheetRegion, question: Question) -> tuple[int, ...]:
    """The numbers printed beside the patches that a pick may name, in rising order."""
    names = {patch.name for patch in _patches(sheet, region) if patch.series in question.parts}
    return tuple(sorted(int(name) for name in names if name.isascii() and name.isdigit()))


def nameable(sheet: Sheet, region: SheetRegion) -> tuple[str, ...]:
    """What a place may name: the ramps, gradients or tints of a region, by the names its patches carry."""
    patches = _patches(sheet, region)
    series = tuple(dict.fromkeys(patch.series for patch in patches if patch.series))
    return series or tuple(dict.fromkeys(patch.name for patch in patches)) or _CORNERS


def _patches(sheet: Sheet, region: SheetRegion) -> list[Patch]:
    return [sheet.patch(patch_id) for patch_id in region.patch_ids]


def _counted(value: Count, patches: list[Patch]) -> tuple[str, str] | None:
    last = max((patch.step for patch in patches if patch.step is not None), default=None)
    if last is None or value.number <= last:
        return None
    return f"a number from 0 to {last}, as printed", str(value.number)


def _picked(value: Pick, numbers: tuple[int, ...]) -> tuple[str, str] | None:
    strange = [number for number in value.numbers if numbers and number not in numbers]
    if not strange:
        return None
    return f"numbers printed in that group ({', '.join(map(str, numbers))})", str(strange[0])


def _placed(value: Place, patches: list[Patch]) -> tuple[str, str] | None:
    steps: dict[str, int] = {}
    for patch in patches:
        if patch.series:
            steps[patch.series] = max(steps.get(patch.series, 0), patch.step or 0)
    for name, step in value.places if steps else ():
        if name not in steps:
            return f"one of {', '.join(steps)}", f"“{shortened(name)}”"
        if step is not None and steps[name] and step > steps[name]:
            return f"a step of {name} from 1 to {steps[name]}", str(step)
    return None
