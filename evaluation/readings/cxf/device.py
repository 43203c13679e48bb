"""Device values of CxF3 objects: RGB on any scale, CMYK and more inks in percent."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.plain_text import counted, shortened
from evaluation.readings.cxf.document import Group, Item, spot_name
from evaluation.readings.cxf.specification import number
from evaluation.readings.cxf.targets import device_group
from evaluation.readings.cxf.triples import values_of
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
    groups = [device_group(item) for item in items]
    present = [group for group in groups if group is not None]
    if not present:
        if any(group.element == "ColorSRGB" for item in items for group in item.groups):
            remarks.append("RGB values not used: preview colours (ColorSRGB), not what was printed")
        return None, None
    element = present[0].element
    if len(present) < len(items) or any(group.element != element for group in present):
        remarks.append("device values left out: not every object has them, or they are of several kinds")
        return None, None
    if element == "ColorHTML":
        remarks.append("device values left out: given as HTML colours")
        return None, None
    if element == "ColorCMYKPlusN":
        present, named = _with_all_inks(present)
    else:
        named = _PARTS[element]
    if not named:
        remarks.append("device values left out: objects have different inks")
        return None, None
    if len(named) > _MOST_INKS:
        remarks.append(f"device values left out: more than {_MOST_INKS} inks")
        return None, None
    if spots := [shortened(spot, 20) for part in named if (spot := spot_name(part))]:
        remarks.append(f"{counted(len(spots), 'ink')} beyond CMYK: {', '.join(spots)}")
    values = values_of(items, present, named, source)
    space = {"ColorRGB": "RGB", "ColorCMYK": "CMYK"}.get(element, f"{values.shape[1]}CLR")
    scale = _stated_scale(present, element) or device_scale(values, space, None, supplied)
    if isinstance(scale, OpenQuestion):
        questions.setdefault(scale.field, scale)
        return None, None
    refuse_beyond(
        values,
        DEVICE.times(scale),
        lambda row, _: items[row].place(source, element, present[row].at),
    )
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


def _stated_scale(groups: Sequence[Group], element: str) -> float | None:
    """MaxRange, as attribute or part, where every object states the same."""
    stated = {group.attributes.get("MaxRange") or group.parts.get("MaxRange") for group in groups}
    if element != "ColorRGB" or len(stated) != 1 or None in stated:
        return None
    try:
        scale = float(str(stated.pop()))
    except ValueError:
        return None
    return scale if 0 < scale < 1e6 else None
