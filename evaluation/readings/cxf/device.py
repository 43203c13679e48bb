"""Device values of CxF3 objects: RGB on any scale, CMYK and more inks in percent."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.plain_text import counted, shortened
from evaluation.readings.cxf.document import Group, Item, spot_name
from evaluation.readings.cxf.numbers import table_of_cells
from evaluation.readings.cxf.specification import number
from evaluation.readings.cxf.targets import device_group
from evaluation.readings.cxf.triples import place_of, values_of
from evaluation.readings.plausible import DEVICE, refuse_beyond
from evaluation.readings.run import Array
from evaluation.readings.scales import device_scale
from evaluation.readings.source import Source
from evaluation.readings.supplied import OpenQuestion, Supplied

_CMYK: Final = ("Cyan", "Magenta", "Yellow", "Black")
_PARTS: Final = {"ColorRGB": ("R", "G", "B"), "ColorCMYK": _CMYK}
_MOST_INKS: Final = 15  # as many as an ICC profile can have


def device_values(
    items: Sequence[Item],
    source: Source,
    supplied: Supplied,
    questions: dict[str, OpenQuestion],
    remarks: list[str],
) -> tuple[Array | None, str | None]:
    """Device values (n, channels), 0..1, and their space; None where objects differ in kind or have none.

    Remarks are appended to `remarks`, an open scale is put into `questions`. Raises FileProblem for a value
    that is no number or outside its range.
    """
    present = [group for item in items if (group := device_group(item)) is not None]
    if not present:
        if any("ColorSRGB" in item.elements for item in items):
            remarks.append("RGB values not used: preview colours (ColorSRGB), not what was printed")
        return None, None
    if (
        len(present) < len(items)
        or len({item.elements[at] for item, at in zip(items, present, strict=True)}) > 1
    ):
        remarks.append("device values left out: not every object has them, or they are of several kinds")
        return None, None
    element = items[0].elements[present[0]]
    if element == "ColorHTML":
        remarks.append("device values left out: given as HTML colours")
        return None, None
    if element == "ColorCMYKPlusN":
        groups, named = _with_all_inks([item.groups[at] for item, at in zip(items, present, strict=True)])
    else:
        groups, named = [], _PARTS[element]
    if not named:
        remarks.append("device values left out: objects have different inks")
        return None, None
    if len(named) > _MOST_INKS:
        remarks.append(f"device values left out: more than {_MOST_INKS} inks")
        return None, None
    if spots := [shortened(spot, 20) for part in named if (spot := spot_name(part))]:
        remarks.append(f"{counted(len(spots), 'ink')} beyond CMYK: {', '.join(spots)}")

    def place(row: int, _: int = 0) -> str:
        return place_of(items[row], present[row], source)

    if groups:
        values = table_of_cells([[group.parts[part] for part in named] for group in groups], place)
    else:
        values = values_of(items, present, named, source)
    space = {"ColorRGB": "RGB", "ColorCMYK": "CMYK"}.get(element, f"{values.shape[1]}CLR")
    stated = _stated_scale(items, present) if element == "ColorRGB" else None
    scale = stated or device_scale(values, space, None, supplied)
    if isinstance(scale, OpenQuestion):
        questions.setdefault(scale.field, scale)
        return None, None
    refuse_beyond(values, DEVICE.times(scale), place)
    return np.clip(values / scale, 0.0, 1.0), space


def _with_all_inks(groups: Sequence[Group]) -> tuple[list[Group], tuple[str, ...]]:
    """CMYK and more: groups that all hold every ink, and the inks in the order met.

    A spot colour that an object does not name is not printed there. No inks where objects differ in others.
    """
    inks: dict[str, None] = {}
    for group in groups:
        inks |= dict.fromkeys(part for part, text in group.parts.items() if _is_ink(part, text))
        if len(inks) > _MOST_INKS:
            return list(groups), tuple(inks)
    always = {ink for ink in inks if spot_name(ink) is None}
    if any(always - group.parts.keys() for group in groups):
        return list(groups), ()
    none = dict.fromkeys(inks, "0")
    return [replace(group, parts=none | group.parts) for group in groups], tuple(inks)


def _is_ink(part: str, text: str) -> bool:
    return part in _CMYK or spot_name(part) is not None or (part != "MaxRange" and number(text) is not None)


def _stated_scale(items: Sequence[Item], groups: Sequence[int]) -> float | None:
    """MaxRange, as attribute or part, where every object states the same."""
    stated = {item.stated(group, "MaxRange") for item, group in zip(items, groups, strict=True)}
    if len(stated) != 1 or None in stated:
        return None
    try:
        scale = float(str(stated.pop()))
    except ValueError:
        return None
    return scale if 0 < scale < 1e6 else None
