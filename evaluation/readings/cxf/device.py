"""Device values of CxF3 objects: RGB on any scale, CMYK and more inks in percent."""

from collections.abc import Sequence

import numpy as np

from evaluation.readings.cxf.document import Group, Item
from evaluation.readings.cxf.specification import number
from evaluation.readings.cxf.targets import device_group
from evaluation.readings.cxf.triples import values_of
from evaluation.readings.plausible import DEVICE, refuse_beyond
from evaluation.readings.run import Array
from evaluation.readings.scales import device_scale
from evaluation.readings.source import Source
from evaluation.readings.supplied import OpenQuestion, Supplied

_PARTS = {"ColorRGB": ("R", "G", "B"), "ColorCMYK": ("Cyan", "Magenta", "Yellow", "Black")}


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
    parts = {
        _PARTS.get(element) or tuple(part for part in group.parts if part != "MaxRange") for group in present
    }
    if len(parts) != 1 or not (named := next(iter(parts))):
        remarks.append("device values left out: objects have different inks")
        return None, None
    if any(number(text) is None for text in present[0].parts.values()) and element == "ColorCMYKPlusN":
        remarks.append("device values left out: inks beyond CMYK are named, not numbered")
        return None, None
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
