"""A second reader of profiles: Little CMS by way of Pillow, which raises where libvips falls back to sRGB.

It also names the intents that a profile has tables for. For one without a table libvips silently takes sRGB
or a CMYK of its own instead, so the perceptual table, which every profile must have, is used in its place.
"""

import io
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Final

from evaluation.errors import ProfileProblem
from evaluation.profile.icc_facts import IccFacts
from evaluation.session import Intent

_MODE: Final = {"RGB": "RGB", "CMYK": "CMYK", "GREY": "L"}

# Intents as libvips names them, with their numbers in ICC.1:2022 7.2.15. Absolute is relative, scaled here.
_NUMBERS: Final = {"perceptual": 0, "relative": 1, "saturation": 2}
_NAMES: Final[Mapping[Intent, str]] = MappingProxyType(
    {
        "perceptual": "perceptual",
        "relative colorimetric": "relative",
        "saturation": "saturation",
        "absolute colorimetric": "relative",
    }
)
_INPUT, _OUTPUT = 0, 1


def intents_of(
    content: bytes, contents: IccFacts, name: str, *, to_device: bool
) -> tuple[str, Mapping[Intent, str]]:
    """libvips' name of the intent from device to colour, and of each intent from colour to device.

    Each of these transforms is built once, to be sure that it can be; the second result is empty unless
    `to_device`. `name` is what messages call the profile. Raises ProfileProblem.
    """
    from PIL import ImageCms  # 16 ms, and only where a profile is opened

    mode = _MODE[contents.device_space]
    quick = ImageCms.Flags.NOOPTIMIZE  # the transforms are only built, never used
    try:
        opened = ImageCms.getOpenProfile(io.BytesIO(content))
        lab = ImageCms.createProfile("LAB")
        to_colour = _supported(opened, "relative", _INPUT)
        ImageCms.buildTransform(opened, lab, mode, "LAB", ImageCms.Intent(_NUMBERS[to_colour]), quick)
        if not to_device:
            return to_colour, {}
        back = {intent: _supported(opened, wanted, _OUTPUT) for intent, wanted in _NAMES.items()}
        for used in set(back.values()):
            ImageCms.buildTransform(lab, opened, "LAB", mode, ImageCms.Intent(_NUMBERS[used]), quick)
    except _NoTable as missing:
        expected = f"a profile with a table {missing}"
        raise ProfileProblem(
            "The profile was not used.",
            where=name,
            expected=expected,
            found=f"one of class {contents.profile_class} without it",
            remedy="Export it again, or name another.",
        ) from None
    except Exception:  # it raises several unrelated kinds, among them UnicodeDecodeError
        raise ProfileProblem(
            "The profile was not used.",
            where=name,
            expected="a profile that Little CMS can compute with",
            found="one that it refuses",
            remedy="Export it again, or name another.",
        ) from None
    return to_colour, MappingProxyType(back)


class _NoTable(Exception):
    """A profile lacks the tables of a direction."""


def _supported(opened: Any, wanted: str, direction: int) -> str:
    for intent in (wanted, "perceptual"):
        if opened.profile.is_intent_supported(_NUMBERS[intent], direction):
            return intent
    raise _NoTable("towards the device" if direction else "towards colour")
