"""Colours through an ICC profile: Little CMS by way of libvips, behind five guards.

The guards have measured reasons: of 65 damaged profiles libvips silently computed 41 as if they were sRGB, as
it does with a sound one that lacks the table of an intent; its absolute intent and its one-step transform are
off by whole units.

1. The bytes are checked by `icc_facts` before any library sees them.
2. A second reader must be able to open the profile and build its transforms, and names the intents it has.
3. The absolute intent is the relative one, scaled by the media white as ICC.1 defines it.
4. Values go through import and export separately, in 16 bit, never through the one-step transform.
5. The channels of the values are checked against the profile's device space, before and after.

One call costs 1 ms towards the device and 5 ms away from it, for one colour as for five thousand, so callers
collect what they need for one call.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab
from evaluation.errors import ProfileProblem
from evaluation.profile.guard import intents_of
from evaluation.profile.icc_facts import IccFacts, icc_facts, refuse_for_prints
from evaluation.session import Intent

Array = NDArray[np.float64]

_VIPS_SPACE: Final = {"RGB": "rgb16", "CMYK": "cmyk", "GREY": "grey16"}


@dataclass(frozen=True, slots=True)
class Profile:
    """A sound profile, ready to compute with. Made only by `open_profile` and `open_source`.

    contents   its facts
    content    its bytes
    to_colour  libvips' name of the intent from device to colour
    to_device  libvips' name of each intent from colour to device, see `guard.intents_of`
    """

    contents: IccFacts
    content: bytes
    to_colour: str
    to_device: Mapping[Intent, str]

    @property
    def white_scale(self) -> Array:
        """(3,) media white relative to D50, component by component; ones where the profile states none."""
        white = self.contents.white
        return np.array(white) * 100 / D50_WHITE if white else np.ones(3)


def open_profile(content: bytes, name: str) -> Profile:
    """A profile that a print was made with, to compute towards its device and away from it.

    `name` is what messages call it. Raises ProfileProblem for one that cannot be trusted; one that passes is
    never replaced by another space.
    """
    return _opened(content, name, to_device=True)


def open_source(content: bytes, name: str) -> Profile:
    """A profile that defines a picture's values, to compute towards colour only. Raises ProfileProblem."""
    return _opened(content, name, to_device=False)


def device_from_lab(profile: Profile, lab: Array, intent: Intent, *, black_compensation: bool) -> Array:
    """Device values for aims, through the table of an intent.

    Parameters
    ----------
    profile
        The profile.
    lab : (n, 3)
        Aims in CIELAB for D50: media-relative, under the absolute intent absolute. Rows of nan stay nan.
    intent
        The rendering intent.
    black_compensation
        Black point compensation; ignored under the absolute intent.

    Returns
    -------
    (n, channels), 0..1.

    Raises
    ------
    ProfileProblem
        When Little CMS refuses the profile.
    """
    lab = np.asarray(lab, dtype=np.float64)
    known = np.isfinite(lab).all(axis=1)
    device = np.full((len(lab), profile.contents.channels), np.nan)
    if not known.any():
        return device
    if intent == "absolute colorimetric":
        lab = lab_from_xyz(xyz_from_lab(lab) / profile.white_scale)
        black_compensation = False
    image = carrying(profile.content, _lab_image(lab[known]))
    settings = {"intent": profile.to_device[intent], "black_point_compensation": black_compensation}
    values = _computed(profile, image.icc_export, depth=16, **settings) / 65535
    _check_channels(profile, values)
    device[known] = values
    return device


def lab_from_device(profile: Profile, device: Array, *, absolute: bool = False) -> Array:
    """CIELAB for D50 (n, 3) of device values (n, channels), 0..1, by the A2B1 table: the colour of the ink.

    Relative colorimetric under every intent of the print; `absolute` scales it by the media white. Rows of
    nan stay nan. Raises ProfileProblem for another number of channels.
    """
    device = np.asarray(device, dtype=np.float64)
    _check_channels(profile, device)
    known = np.isfinite(device).all(axis=1)
    lab = np.full((len(device), 3), np.nan)
    if not known.any():
        return lab
    image = carrying(profile.content, _device_image(device[known], profile.contents.device_space))
    lab[known] = _computed(profile, image.icc_import, embedded=True, pcs="lab", intent=profile.to_colour)
    if absolute:
        lab = lab_from_xyz(xyz_from_lab(lab) * profile.white_scale)
    return lab


def predicted_lab(profile: Profile, aim: Array, intent: Intent, *, black_compensation: bool) -> Array:
    """The colours (n, 3) of a print that follows its profile, A2B1(B2A_intent(aim)), for aims (n, 3).

    CIELAB for D50, media-relative; under the absolute intent both aim and result are absolute. Parameters and
    errors as `device_from_lab`.
    """
    device = device_from_lab(profile, aim, intent, black_compensation=black_compensation)
    return lab_from_device(profile, device, absolute=intent == "absolute colorimetric")


def reachable_black(profile: Profile, intent: Intent, *, black_compensation: bool) -> Array:
    """CIELAB (3,) of the black that the tables of an intent reach, which is not that of device zero."""
    black: Array = predicted_lab(profile, np.zeros((1, 3)), intent, black_compensation=black_compensation)[0]
    return black


def _opened(content: bytes, name: str, *, to_device: bool) -> Profile:
    contents = icc_facts(content, name)
    refuse_for_prints(contents, name)
    to_colour, to_device_by = intents_of(content, contents, name, to_device=to_device)
    return Profile(contents, content, to_colour, to_device_by)


def _check_channels(profile: Profile, device: Array) -> None:
    contents = profile.contents
    if device.ndim != 2 or device.shape[1] != contents.channels:
        raise ProfileProblem(
            "No colour was computed.",
            where=contents.name,
            expected=f"{contents.channels} channels ({contents.device_space})",
            found=f"values of shape {device.shape}",
            remedy="Use values of the profile's own device space.",
        )


def carrying(content: bytes, image: Any) -> Any:
    """The image with a profile inside: so libvips reads it from memory, not from a file."""
    import pyvips

    with_profile = image.copy()
    with_profile.set_type(pyvips.GValue.blob_type, "icc-profile-data", content)
    return with_profile


def _lab_image(lab: Array) -> Any:
    import pyvips  # 60 ms, and only where a profile computes

    strip = np.ascontiguousarray(lab.reshape(1, -1, 3), dtype=np.float32)
    image = pyvips.Image.new_from_memory(strip.tobytes(), strip.shape[1], 1, 3, "float")
    return image.copy(interpretation="lab")


def _device_image(device: Array, space: str) -> Any:
    import pyvips

    scaled = np.rint(np.clip(device, 0, 1) * 65535).astype(np.uint16)
    image = pyvips.Image.new_from_memory(scaled.tobytes(), len(scaled), 1, scaled.shape[1], "ushort")
    return image.copy(interpretation=_VIPS_SPACE[space])


def _computed(profile: Profile, convert: Callable[..., Any], **settings: Any) -> Array:
    """(n, bands) the result of a conversion by libvips. Raises ProfileProblem where it refuses."""
    import pyvips

    try:
        image = convert(**settings)
        pixels = np.asarray(image.numpy(), dtype=np.float64)
    except pyvips.Error:
        raise ProfileProblem(
            "No colour was computed.",
            where=profile.contents.name,
            expected="a profile that Little CMS can compute with",
            found="one that it refuses",
            remedy="Export it again, or name another.",
        ) from None
    return pixels.reshape(-1, image.bands)
