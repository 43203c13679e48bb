"""Colours through a profile, held against Little CMS by another road; more of them in test_second_opinions.

Pillow reaches the same Little CMS with 8 bit values only: it serves as a second opinion at its own step
(100/255 in L*, 1 in a*, b*).
"""

import numpy as np
import pytest
import pyvips
from numpy.typing import NDArray

from evaluation.colorimetry.difference import delta_e_76
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab
from evaluation.errors import ProfileProblem
from evaluation.profile.engine import (
    device_from_lab,
    lab_from_device,
    open_profile,
    predicted_lab,
    reachable_black,
)
from evaluation.session import INTENTS, Intent
from tests.profile.by_pillow import pillow_lab

Array = NDArray[np.float64]
RNG = np.random.default_rng(20260302)


def test_device_to_lab_agrees_with_pillow_at_eight_bits(sound: bytes) -> None:
    device = np.rint(RNG.random((400, 3)) * 255) / 255
    ours = lab_from_device(open_profile(sound, "sound.icc"), device)
    assert delta_e_76(pillow_lab(sound, device), ours).max() < 1.0


@pytest.mark.parametrize("intent", INTENTS)
def test_colours_inside_the_gamut_are_expected_where_they_are_aimed(sound: bytes, intent: Intent) -> None:
    aim = np.array([[70.0, 5, 5], [60, 20, 15], [50, 0, 0], [45, -15, 10]])
    expected = predicted_lab(open_profile(sound, "s.icc"), aim, intent, black_compensation=False)
    assert delta_e_76(aim, expected).max() < 3.0  # what a grid of nine loses on the way there and back


def test_the_absolute_intent_is_the_relative_one_scaled_by_the_white(sound: bytes) -> None:
    profile = open_profile(sound, "sound.icc")
    device = RNG.random((50, 3))
    relative = xyz_from_lab(lab_from_device(profile, device))
    assert profile.contents.white is not None
    by_definition = lab_from_xyz(relative * np.array(profile.contents.white) * 100 / D50_WHITE)
    assert np.allclose(lab_from_device(profile, device, absolute=True), by_definition)
    paper = lab_from_device(profile, np.ones((1, 3)), absolute=True)[0]
    assert delta_e_76(paper, lab_from_xyz(np.array(profile.contents.white) * 100)) < 1.0


def test_black_compensation_opens_the_shadows(sound: bytes) -> None:
    profile = open_profile(sound, "sound.icc")
    aim = np.array([[6.0, 0, 0], [10, 0, 0], [14, 0, 0]])
    on = predicted_lab(profile, aim, "relative colorimetric", black_compensation=True)
    assert (np.diff(on[:, 0]) > 1.5).all()
    black = reachable_black(profile, "relative colorimetric", black_compensation=True)
    assert 5 < black[0] < 12 and on[0, 0] > black[0]


def test_what_libvips_would_replace_by_srgb_never_reaches_it(sound: bytes) -> None:
    """Of a profile that it cannot use libvips says nothing and computes with sRGB: mid grey is (53.6, 0, 0).

    Here by its own door, past the guards; through ours the same bytes are refused.
    """
    as_inks = sound[:16] + b"CMYK" + sound[20:]
    image = pyvips.Image.new_from_array(np.full((1, 1, 3), 32896, np.uint16)).copy(interpretation="rgb16")
    image.set_type(pyvips.GValue.blob_type, "icc-profile-data", as_inks)
    fallback = image.icc_import(embedded=True, pcs="lab").numpy().reshape(3)
    assert delta_e_76(fallback, [53.59, 0, 0]) < 0.1
    with pytest.raises(ProfileProblem, match=r"4 in and 3 out\. Found: 3 in and 3 out\."):
        open_profile(as_inks, "damaged.icc")


def test_channels_of_another_space_are_refused(sound: bytes) -> None:
    profile = open_profile(sound, "sound.icc")
    with pytest.raises(ProfileProblem, match="3 channels"):
        lab_from_device(profile, np.zeros((2, 4)))


def test_device_values_are_those_of_the_table(sound: bytes) -> None:
    profile = open_profile(sound, "sound.icc")
    device = device_from_lab(
        profile, np.array([[100.0, 0, 0]]), "relative colorimetric", black_compensation=True
    )
    assert device.shape == (1, 3) and (device > 0.98).all() and (device <= 1).all()
