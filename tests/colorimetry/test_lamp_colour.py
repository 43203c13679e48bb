"""What a lamp's spectrum says of its light, against published values of CIE illuminants."""

from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.illuminants import illuminants, light_from
from evaluation.colorimetry.lamp_colour import lamp_colour
from evaluation.colorimetry.named_lights import named_light
from evaluation.published.passport import read_table, read_toml
from tests.cases import some_now

PUBLISHED = Path(__file__).parents[1] / "published"
_, INCONSTANCY = read_toml((PUBLISHED / "inconstancy.toml").read_text(encoding="utf-8"), "inconstancy.toml")
LAMPS = read_table((PUBLISHED / "fluorescent-lamps.csv").read_text(encoding="utf-8"), "fluorescent-lamps.csv")
FIVES = np.arange(380.0, 781.0, 5)


def white_of(name):
    white = lamp_colour(named_light(name)).white
    assert white is not None
    return white


@pytest.mark.parametrize("row", some_now(LAMPS.rows, *LAMPS.rows[::5]), ids=lambda row: row[0])
def test_fluorescent_lamps_have_the_values_that_cie_015_prints(row):
    """Kelvin is printed to 10 or 50, Ra to 1."""
    name, *printed = row
    x, y, kelvin, rendering = map(float, printed)
    found = lamp_colour(named_light(name))
    np.testing.assert_allclose(found.xy, [x, y], atol=1.5e-4)
    assert found.white is not None
    assert found.white.kelvin == pytest.approx(kelvin, abs=12)
    assert found.white.general_rendering == pytest.approx(rendering, abs=0.6)


def test_examples_of_the_librarys_documentation():
    """colour-science 0.4.7: FL2 at 5 nm has Rf 70.1208, Ra 64.2337, 4224.48 K and Duv 0.00179."""
    found = white_of("FL2")
    assert found.fidelity == pytest.approx(70.1208, abs=0.1)
    assert found.general_rendering == pytest.approx(64.2337, abs=0.1)
    assert (found.kelvin, found.duv) == (pytest.approx(4224.48, abs=1), pytest.approx(0.00179, abs=2e-5))


@pytest.mark.parametrize("name", some_now(sorted(INCONSTANCY["lamps"]), "LED-B4", "LED-V2"))
def test_the_leds_of_cie_015(name):
    x, y, kelvin, duv, rendering = INCONSTANCY["lamps"][name]
    found, white = lamp_colour(illuminants()[name]), white_of(name)
    np.testing.assert_allclose(found.xy, [x, y], atol=2e-4)
    assert (white.kelvin, white.duv) == (pytest.approx(kelvin, rel=1e-3), pytest.approx(duv, abs=1e-4))
    assert white.general_rendering == pytest.approx(rendering, abs=0.3)


def test_references_render_as_themselves():
    """CIE 13.3 and CIE 224: a Planckian radiator and a phase of daylight score 100."""
    for name in ("A", "D50", "D65"):
        assert white_of(name).fidelity == pytest.approx(100, abs=0.05)
        assert min(white_of(name).rendering) > 99.9


def test_d50_for_the_10_degree_observer():
    """ISO 3664 gives u'10 0.2102, v'10 0.4889 (MEMORY)."""
    found = lamp_colour(illuminants()["D50"])
    np.testing.assert_allclose(found.uv_10, [0.2102, 0.4889], atol=5e-5)
    assert found.from_d50 == 0.0


def test_the_distance_from_d50_is_that_in_u_v_of_1976():
    """CIE 015, D65 and the 10 degree observer: u'10 0.1979, v'10 0.4695 (MEMORY)."""
    assert lamp_colour(illuminants()["D65"]).from_d50 == pytest.approx(
        np.hypot(0.2102 - 0.1979, 0.4889 - 0.4695), abs=2e-4
    )


@pytest.mark.parametrize("name", some_now(sorted(INCONSTANCY["composed_grey"]["metamerism"]), "FL11"))
def test_two_greys_that_match_under_d50_part_under_a_lamp(name):
    """The special index of CIE 015:2018, change of illuminant: sums at 5 nm by numpy."""
    assert white_of(name).metamerism == pytest.approx(
        INCONSTANCY["composed_grey"]["metamerism"][name], abs=0.03
    )
    assert white_of("D50").metamerism < 0.01


@pytest.mark.parametrize("peak", [400, 450, 520, 560, 630, 780])
def test_a_light_far_from_white_has_a_chromaticity_and_nothing_else(peak):
    found = lamp_colour(light_from("line", FIVES, np.exp(-0.5 * ((FIVES - peak) / 8) ** 2)))
    assert found.white is None
    assert 0.0 < found.xy[0] < 0.74 and found.from_d50 > 0.05


def test_scale_does_not_matter_and_ultraviolet_is_told_where_it_is_stated():
    one = lamp_colour(light_from("one", FIVES, np.ones(FIVES.size)))
    many = lamp_colour(light_from("many", FIVES, np.full(FIVES.size, 1e12)))
    assert one.white is not None and many.white is not None
    assert many.white.kelvin == pytest.approx(one.white.kelvin, abs=1e-6)
    assert one.ultraviolet is None
    assert lamp_colour(illuminants()["D50"]).ultraviolet == pytest.approx(0.302, abs=0.001)
