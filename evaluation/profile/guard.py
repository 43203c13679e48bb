"""A second reader of profiles: Little CMS by way of Pillow, which raises where libvips falls back to sRGB.

It also tells which intents a profile has tables for. Asked for one that has none, libvips takes sRGB or four
inks of its own instead, without a word; so the perceptual table, which every profile owes, stands in for it.
"""

import io
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Final

from evaluation.errors import ProfileProblem
from evaluation.profile.profile_facts import ProfileFacts
from evaluation.session import Intent

_MODE: Final = {"RGB": "RGB", "CMYK": "CMYK", "GREY": "L"}

# Intents as libvips names them, in the numbers of ICC.1:2022 7.2.15. Absolute is relative, scaled by us.
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
    content: bytes, contents: ProfileFacts, name: str, *, to_device: bool
) -> tuple[str, Mapping[Intent, str]]:
    """The intent, in libvips' words, that leads from device to colour, and that of each intent back.

    Every transform that they stand for is built once, to be sure that it can be. Raises ProfileProblem.
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
    except Exception:  # it raises several unrelated kinds, UnicodeDecodeError among them
        raise ProfileProblem(
            "The profile was not used.",
            where=name,
            expected="a profile that Little CMS can compute with",
            found="one that it refuses",
            remedy="Export it again, or name another.",
        ) from None
    return to_colour, MappingProxyType(back)


def _supported(opened: Any, wanted: str, direction: int) -> str:
    for intent in (wanted, "perceptual"):
        if opened.profile.is_intent_supported(_NUMBERS[intent], direction):
            return intent
    raise ValueError(f"no table {'towards the device' if direction else 'towards colour'}")
