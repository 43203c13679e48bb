"""Lights by name, from the tables kept here and from colour-science."""

import numpy as np
import pytest

from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.named_lights import known_as, light_names, named_light


def test_a_light_kept_here_needs_no_import() -> None:
    assert named_light("LED-B3") is illuminants()["LED-B3"]
    assert set(illuminants()) <= set(light_names())


@pytest.mark.parametrize("name", sorted(light_names()))
def test_every_name_gives_a_light(colour_science, name):
    """Its power at 5 nm is the published one (CIE 015:2018)."""
    light = named_light(name)
    published = colour_science.SDS_ILLUMINANTS[name]
    at = np.arange(max(360, light.first), 781.0, 5)
    # Cubics dip below 0 beside narrow lines, which is cut off; at the published places nothing is.
    np.testing.assert_allclose(light.power[(at - 360).astype(int)], [published[nm] for nm in at], atol=1e-9)
    assert (light.last, light.step) == (published.shape.end if name in REACH else 780.0, 5.0)


REACH = ("D60", "E")  # are published to 830 nm


def test_daylight_runs_in_straight_lines_between_its_values() -> None:
    """That is how CIE 015 defines it."""
    power = named_light("D55").power
    np.testing.assert_allclose(power[40:46], np.linspace(power[40], power[45], 6))


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("led b3", "LED-B3"),
        ("LED-B3", "LED-B3"),
        (" fl 2 ", "FL2"),
        ("FL3.1", "FL3.1"),
        ("fl31", None),
        ("", None),
    ],
)
def test_a_name_is_understood_however_it_is_typed(word: str, name: str | None) -> None:
    assert known_as(word) == name


def test_an_unknown_name_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        named_light("moonlight")


def test_lights_that_make_whitener_glow() -> None:
    glowing = {name for name in light_names() if named_light(name).has_ultraviolet}
    assert glowing == {"B", "C", "D50", "D55", "D60", "D65", "D75", "E", "FL3.15", "ID50", "ID65"}
