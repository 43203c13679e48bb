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
    items: Sequence[Item], source: Source, said: Supplied, asks: dict[str, OpenQuestion], remarks: list[str]
) -> tuple[Array | None, str | None]:
    """(n, channels) 0..1 and their space; None where not every object has values of one kind.

    An open scale is put into `asks`.
    """
    groups = [device_group(item) for item in items]
    present = [group for group in groups if group is not None]
    if not present:
        if any(group.element == "ColorSRGB" for item in items for group in item.groups):
            remarks.append("RGB values are preview colours (ColorSRGB), not what was printed: not used")
        return None, None
    element = present[0].element
    if len(present) < len(items) or any(group.element != element for group in present):
        remarks.append("not every object has device values of one kind: they are left out")
        return None, None
    if element == "ColorHTML":
        remarks.append("device values as HTML colours are left out")
        return None, None
    parts = {
        _PARTS.get(element) or tuple(part for part in group.parts if part != "MaxRange") for group in present
    }
    if len(parts) != 1 or not (named := next(iter(parts))):
        remarks.append("objects have different inks: device values are left out")
        return None, None
    if any(number(text) is None for text in present[0].parts.values()) and element == "ColorCMYKPlusN":
        remarks.append("inks beyond CMYK that have names of their own: device values are left out")
        return None, None
    values = values_of(items, present, named, source)
    space = {"ColorRGB": "RGB", "ColorCMYK": "CMYK"}.get(element, f"{values.shape[1]}CLR")
    scale = _stated_scale(present, element) or device_scale(values, space, None, said)
    if isinstance(scale, OpenQuestion):
        asks.setdefault(scale.field, scale)
        return None, None
    refuse_beyond(
        values,
        DEVICE.times(scale),
        lambda row, _: items[row].place(source, element, present[row].at),
    )
    return np.clip(values / scale, 0.0, 1.0), space


def _stated_scale(groups: Sequence[Group], element: str) -> float | None:
    """MaxRange, as attribute or part, when every object gives the same."""
    stated = {group.attributes.get("MaxRange") or group.parts.get("MaxRange") for group in groups}
    if element != "ColorRGB" or len(stated) != 1 or None in stated:
        return None
    try:
        scale = float(str(stated.pop()))
    except ValueError:
        return None
    return scale if 0 < scale < 1e6 else None
