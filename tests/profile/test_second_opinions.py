"""The path of numbers through a profile against other readers, in both directions and for every intent.

Pillow reaches Little CMS with 8 bit values, imagecodecs with floating point ones, coloraide knows sRGB and
Display P3 by formula (IEC 61966-2-1, SMPTE EG 432-1), and `own_tables` interpolates by itself.
"""

import importlib.util
import io
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import pyvips
from coloraide import Color
from numpy.typing import NDArray
from PIL import Image, ImageCms

from evaluation.colorimetry.difference import delta_e_76
from evaluation.profile.engine import device_from_lab, lab_from_device, open_profile, predicted_lab
from evaluation.session import INTENTS, Intent
from tests.cases import some_now
from tests.profile.by_pillow import pillow_lab
from tests.profile.own_tables import to_colour, to_device

Array = NDArray[np.float64]
DATA = Path(__file__).parent / "data"
RNG = np.random.default_rng(20260309)
COMPENSATION = 0x2000  # Little CMS: cmsFLAGS_BLACKPOINTCOMPENSATION
NUMBER = {"perceptual": 0, "relative colorimetric": 1, "saturation": 2, "absolute colorimetric": 3}

needs_codecs = pytest.mark.skipif(
    importlib.util.find_spec("imagecodecs") is None, reason="imagecodecs has no wheel here"
)


def by_libvips(name: str) -> bytes:
    """A matrix profile that libvips carries inside."""
    return bytes(pyvips.Operation.call("profile_load", name))


def by_pillow() -> bytes:
    """The sRGB matrix profile that Little CMS makes for Pillow."""
    return bytes(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())


def by_imagecodecs(name: str) -> bytes:
    import imagecodecs

    return bytes(imagecodecs.cms_profile(name))


MATRIX: dict[str, Callable[[], bytes]] = {
    "libvips, sRGB": lambda: by_libvips("srgb"),
    "libvips, Display P3": lambda: by_libvips("p3"),
    "Pillow, sRGB": by_pillow,
    "imagecodecs, sRGB": lambda: by_imagecodecs("srgb"),
    "imagecodecs, opRGB": lambda: by_imagecodecs("adobergb"),
}
EVERY_MATRIX = [
    pytest.param(make, id=name, marks=needs_codecs if name.startswith("imagecodecs") else ())
    for name, make in MATRIX.items()
]


def eight_bit_lab(lab: Array) -> tuple[NDArray[np.uint8], Array]:
    """CIELAB as Pillow holds it, and the CIELAB that this is."""
    coded = np.rint(lab * [2.55, 1, 1]).astype(np.int16)
    return (coded & 255).astype(np.uint8), coded / np.array([2.55, 1, 1])


def pillow_device(content: bytes, lab: NDArray[np.uint8], intent: Intent, compensation: bool) -> Array:
    """Device values (n, 3), 0..1, by Pillow: 8 bit in, 8 bit out."""
    image = Image.frombytes("LAB", (len(lab), 1), lab.tobytes())
    transform = ImageCms.buildTransform(
        ImageCms.createProfile("LAB"),
        ImageCms.getOpenProfile(io.BytesIO(content)),
        "LAB",
        "RGB",
        ImageCms.Intent(NUMBER[intent]),
        COMPENSATION if compensation else 0,  # type: ignore[arg-type]
    )
    return np.asarray(ImageCms.applyTransform(image, transform), np.float64).reshape(-1, 3) / 255


@pytest.mark.parametrize("compensation", some_now([False, True], True), ids=["off", "on"])
@pytest.mark.parametrize("intent", [one for one in INTENTS if one != "absolute colorimetric"])
def test_towards_the_device_pillow_agrees_at_eight_bits(
    sound: bytes, intent: Intent, compensation: bool
) -> None:
    """What both ask of the ink looks alike: within the step of 8 bit device values and of 8 bit L*."""
    profile = open_profile(sound, "s.icc")
    coded, lab = eight_bit_lab(RNG.uniform([15, -45, -45], [97, 45, 45], (400, 3)))
    theirs = pillow_device(sound, coded, intent, compensation)
    ours = device_from_lab(profile, lab, intent, black_compensation=compensation)
    off = delta_e_76(lab_from_device(profile, theirs), lab_from_device(profile, ours))
    assert np.median(off) < 0.4 and off.max() < 1.5


def test_colour_by_our_own_tetrahedra(sound: bytes) -> None:
    device = RNG.random((200, 3))
    ours = lab_from_device(open_profile(sound, "s.icc"), device)
    assert delta_e_76(to_colour(sound, device), ours).max() < 0.02


def test_device_values_by_our_own_interpolation(sound: bytes) -> None:
    """Towards the device Little CMS goes in lines, for its tables are in CIELAB (`_cmsReadOutputLUT`)."""
    profile = open_profile(sound, "s.icc")
    lab = RNG.uniform([20, -30, -30], [95, 30, 30], (200, 3))
    ours = device_from_lab(profile, lab, "relative colorimetric", black_compensation=False)
    by_lines = np.clip(to_device(sound, b"B2A1", lab), 0, 1)
    assert np.abs(by_lines - ours).max() < 0.001


@pytest.mark.parametrize("intent", [one for one in INTENTS if one != "absolute colorimetric"])
def test_the_expectation_is_one_table_seen_through_another(sound: bytes, intent: Intent) -> None:
    """A2B1(B2A_intent(aim)) with nothing of Little CMS: our own two interpolations after each other.

    In version 4 Little CMS compensates the black of these two whether asked to or not: see the next.
    """
    if sound[8] == 4 and intent != "relative colorimetric":
        pytest.skip("the black is compensated")
    signature = {"perceptual": b"B2A0", "relative colorimetric": b"B2A1", "saturation": b"B2A2"}[intent]
    aim = RNG.uniform([20, -30, -30], [95, 30, 30], (100, 3))
    device = np.clip(to_device(sound, signature, aim), 0, 1)
    expected = predicted_lab(open_profile(sound, "s.icc"), aim, intent, black_compensation=False)
    assert delta_e_76(to_colour(sound, device), expected).max() < 0.2


@pytest.mark.parametrize("intent", ["perceptual", "saturation"])
def test_version_4_compensates_the_black_of_rendering_intents_always(intent: Intent) -> None:
    """So Little CMS does, asked to or not: the shadows lie above what the tables alone would give."""
    content = (DATA / "rgb_output_v4_lab_mab_g9.icc").read_bytes()
    profile, aim = open_profile(content, "v4.icc"), np.array([[9.0, 0, 0], [12, 0, 0], [16, 0, 0]])
    off, on = (
        predicted_lab(profile, aim, intent, black_compensation=compensation) for compensation in (False, True)
    )
    signature = {"perceptual": b"B2A0", "saturation": b"B2A2"}[intent]
    alone = to_colour(content, np.clip(to_device(content, signature, aim), 0, 1))
    assert np.allclose(off, on) and np.abs(off - alone).max() > 0.5


@pytest.mark.parametrize("make", EVERY_MATRIX)
def test_matrix_profiles_of_other_packages_by_pillow(make: Callable[[], bytes]) -> None:
    """Pillow cuts CIELAB to 8 bits: 0.4 in L*, 1 in a* and b*; half of that on average."""
    content = make()
    device = np.rint(RNG.random((400, 3)) * 255) / 255
    ours = lab_from_device(open_profile(content, "m.icc"), device)
    inside = (np.abs(ours[:, 1:]) < 127).all(axis=1)  # what 8 bits can hold
    assert delta_e_76(pillow_lab(content, device), ours)[inside].max() < 1.0


@needs_codecs
@pytest.mark.parametrize("make", EVERY_MATRIX)
def test_matrix_profiles_of_other_packages_by_imagecodecs(make: Callable[[], bytes]) -> None:
    """Ours pass curves and matrix in 16 bits: dark, saturated colours differ most."""
    import imagecodecs

    content, device = make(), RNG.random((1000, 3))
    theirs = imagecodecs.cms_transform(
        device.astype(np.float32)[None],
        content,
        imagecodecs.cms_profile("lab4"),
        colorspace="rgb",
        outcolorspace="lab",
        outdtype="f4",
        intent=1,
    )[0]
    ours = lab_from_device(open_profile(content, "m.icc"), device)
    off = delta_e_76(np.asarray(theirs, np.float64), ours)
    assert np.median(off) < 0.03 and off.max() < 0.8


@pytest.mark.parametrize(
    ("make", "space"),
    [
        pytest.param(lambda: by_libvips("srgb"), "srgb", id="sRGB"),
        pytest.param(lambda: by_libvips("p3"), "display-p3", id="Display P3"),
        pytest.param(by_pillow, "srgb", id="Pillow"),
    ],
)
def test_matrix_profiles_mean_what_their_standards_say(make: Callable[[], bytes], space: str) -> None:
    """By formula, without a profile: coloraide adapts D65 to D50 by linear Bradford as ICC.1 asks."""
    device = RNG.random((50, 3))
    ours = lab_from_device(open_profile(make(), "m.icc"), device)
    theirs = np.array([Color(space, list(row)).convert("lab").coords() for row in device])
    off = delta_e_76(theirs, ours)
    assert (
        np.median(off) < 0.1 and off.max() < 2.3
    )  # libvips' Display P3 has a short table: 2.1 in 20,000 draws


@pytest.mark.parametrize("make", EVERY_MATRIX)
def test_there_and_back_through_a_matrix(make: Callable[[], bytes]) -> None:
    profile, device = open_profile(make(), "m.icc"), RNG.uniform(0.05, 0.95, (200, 3))
    back = device_from_lab(
        profile, lab_from_device(profile, device), "relative colorimetric", black_compensation=False
    )
    assert np.abs(back - device).max() < 0.004
