"""The chosen intent is honoured: four inks whose tables no one could confuse. And a second opinion."""

import importlib.util

import numpy as np
import pytest
from numpy.typing import NDArray

from evaluation.colorimetry.difference import delta_e_76
from evaluation.errors import ProfileProblem
from evaluation.profile.engine import (
    device_from_lab,
    lab_from_device,
    open_profile,
    predicted_lab,
    reachable_black,
)
from evaluation.session import Intent
from tests.cases import some_now
from tests.profile.probes import INK_OF, SHOWN, four_inks

Array = NDArray[np.float64]
RNG = np.random.default_rng(3)
GREY = np.array([[50.0, 0, 0]])


@pytest.mark.parametrize(("intent", "ink"), [*INK_OF.items(), ("absolute colorimetric", 0.5)])
def test_each_intent_chooses_the_ink_of_its_own_table(intent: Intent, ink: float) -> None:
    device = device_from_lab(open_profile(four_inks(), "inks.icc"), GREY, intent, black_compensation=False)
    assert np.allclose(device, [[0, 0, 0, ink]], atol=1e-4)


def test_colour_always_comes_from_the_colorimetric_table() -> None:
    shown = lab_from_device(open_profile(four_inks(), "inks.icc"), np.array([[0.5, 0, 0, 0]]))
    assert delta_e_76(shown, SHOWN["relative colorimetric"]) < 0.05
    assert all(delta_e_76(shown, SHOWN[other]) > 20 for other in ("perceptual", "saturation"))


@pytest.mark.parametrize(("intent", "ink"), INK_OF.items())
def test_the_promise_is_the_ink_of_one_table_seen_through_another(intent: Intent, ink: float) -> None:
    """Black k of this profile shows L* 100 * (1 - k) in A2B1, whichever table asked for it."""
    expected = predicted_lab(open_profile(four_inks(), "inks.icc"), GREY, intent, black_compensation=False)
    assert delta_e_76(expected, [[100 * (1 - ink), 0, 0]]) < 0.05


@pytest.mark.parametrize(("intent", "ink"), INK_OF.items())
def test_the_black_that_is_reached_is_that_of_the_intent(intent: Intent, ink: float) -> None:
    black = reachable_black(open_profile(four_inks(), "inks.icc"), intent, black_compensation=False)
    assert black[0] == pytest.approx(100 * (1 - ink), abs=0.05)


def test_values_of_three_channels_are_refused_by_four_inks() -> None:
    with pytest.raises(ProfileProblem, match=r"Expected: 4 channels \(CMYK\)"):
        lab_from_device(open_profile(four_inks(), "inks.icc"), np.full((1, 3), 0.5))


needs_codecs = pytest.mark.skipif(
    importlib.util.find_spec("imagecodecs") is None, reason="imagecodecs has no wheel here"
)
_NUMBER = {"perceptual": 0, "relative colorimetric": 1, "saturation": 2}


def codecs_lab(content: bytes, device: Array) -> Array:
    """A2B1 by Little CMS in floating point, along another library."""
    import imagecodecs

    space = "rgb" if device.shape[1] == 3 else "cmyk"
    values = (device if space == "rgb" else device * 100).astype(np.float32)[None]  # inks in percent
    lab = imagecodecs.cms_profile("lab4")
    found = imagecodecs.cms_transform(
        values, content, lab, colorspace=space, outcolorspace="lab", outdtype="f4", intent=1
    )
    return np.asarray(found, np.float64)[0]


def codecs_device(content: bytes, lab: Array, intent: str, *, compensation: bool) -> Array:
    import imagecodecs

    found = imagecodecs.cms_transform(
        lab.astype(np.float32)[None],
        imagecodecs.cms_profile("lab4"),
        content,
        colorspace="lab",
        outcolorspace="rgb",
        outdtype="f4",
        intent=_NUMBER[intent],
        flags=0x2000 if compensation else 0,
    )
    return np.asarray(found, np.float64)[0]


@needs_codecs
def test_towards_colour_a_second_library_agrees(sound: bytes) -> None:
    device = RNG.random((2000, 3))
    ours = lab_from_device(open_profile(sound, "s.icc"), device)
    assert delta_e_76(codecs_lab(sound, device), ours).max() < 0.02


@needs_codecs
def test_four_inks_towards_colour_a_second_library_agrees() -> None:
    device = RNG.random((500, 4))
    ours = lab_from_device(open_profile(four_inks(), "inks.icc"), device)
    assert delta_e_76(codecs_lab(four_inks(), device), ours).max() < 0.02


@needs_codecs
@pytest.mark.parametrize("compensation", some_now([False, True], True), ids=["off", "on"])
@pytest.mark.parametrize("intent", _NUMBER)
def test_towards_the_device_a_second_library_agrees(sound: bytes, intent: Intent, compensation: bool) -> None:
    lab = RNG.uniform([12, -50, -50], [98, 50, 50], (2000, 3))
    profile = open_profile(sound, "s.icc")
    ours = device_from_lab(profile, lab, intent, black_compensation=compensation)
    theirs = codecs_device(sound, lab, intent, compensation=compensation)
    off = delta_e_76(lab_from_device(profile, np.clip(theirs, 0, 1)), lab_from_device(profile, ours))
    assert np.median(off) < 0.01 and off.max() < 0.8  # very dark, saturated colours differ most
