"""What a profile promises: by its own tables, by hand for each hypothesis, in the comparison's frame."""

from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_76, delta_e_2000
from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab
from evaluation.profile.engine import device_from_lab, lab_from_device, open_profile, predicted_lab
from evaluation.profile.less_ink import less_ink
from evaluation.profile.prediction import Prediction
from evaluation.session import INTENTS, Intent
from evaluation.sheet.layout import ENCODINGS, Encoding, Patch
from fixtures.printer import icc

LUSTRE = (Path(icc.__file__).parents[1] / "profiles" / "sallowfell-lustre-finest.icc").read_bytes()
SOURCES = [(v, v, v) for v in np.linspace(0, 1, 11)] + [(0.8, 0.3, 0.2), (0.2, 0.7, 0.3), (0.1, 0.2, 0.9)]
PATCHES = tuple(
    Patch(f"p{k}", "", "r", source=(float(r), float(g), float(b))) for k, (r, g, b) in enumerate(SOURCES)
)


def promise(
    content: bytes = LUSTRE,
    intent: Intent = "relative colorimetric",
    compensation: bool = True,
    encoding: Encoding | None = "srgb",
) -> Prediction:
    aims = lab_from_xyz(xyz_from_rgb(np.array(SOURCES), "srgb"))
    return Prediction(open_profile(content, "mine.icc"), intent, compensation, PATCHES, aims, encoding)


@pytest.mark.parametrize("intent", INTENTS)
def test_the_promise_is_the_colour_of_the_ink_that_the_intent_chooses(sound: bytes, intent: Intent) -> None:
    made = promise(sound, intent)
    by_hand = predicted_lab(made.profile, made.aims, intent, black_compensation=True)
    assert np.allclose(made.lab(PATCHES), by_hand, atol=1e-4)


def test_patches_come_in_the_order_asked_for_and_strangers_as_nan() -> None:
    made = promise()
    some = made.lab([PATCHES[3], Patch("elsewhere", "", "r"), PATCHES[0]])
    assert np.isnan(some[1]).all()
    assert np.array_equal(some[[0, 2]], made.lab(PATCHES)[[3, 0]])


def test_a_patch_without_an_aim_is_promised_nothing() -> None:
    made = promise()
    made.aims[2] = np.nan
    assert np.isnan(made.lab(PATCHES)[2]).all() and np.isfinite(made.lab(PATCHES)[3]).all()


def test_the_black_is_the_one_its_tables_reach(sound: bytes) -> None:
    made = promise(sound)
    black = lab_from_xyz(D50_WHITE * made.black_y / 100)[0]
    ink = lab_from_device(made.profile, np.zeros((1, 3)))[0, 0]
    assert made.lab([PATCHES[0]])[0, 0] == pytest.approx(black, abs=0.05)
    assert black > ink + 1  # the nine grid of these two profiles does not reach its own darkest ink


def test_the_paper_is_the_media_white_in_absolute_terms() -> None:
    paper = promise().paper_lab
    assert paper is not None and delta_e_76(paper, [95.1, 0.4, -5.2]) < 0.1


def test_a_display_profile_says_nothing_of_paper() -> None:
    as_display = LUSTRE[:12] + b"mntr" + LUSTRE[16:]
    assert promise(as_display).paper_lab is None


def test_strong_colours_lie_outside_and_their_promise_inside() -> None:
    made = promise()
    aims = np.array([[50.0, 0, 0], [60, 95, 60], [60, 20, 10], [np.nan] * 3])
    inside = made.inside(aims)
    assert inside is not None and list(inside) == [True, False, True, False]
    assert made.inside(made.lab(PATCHES)).all()  # type: ignore[union-attr]


def test_absolute_promises_and_aims_are_absolute() -> None:
    made = promise(intent="absolute colorimetric")
    white = made.lab([PATCHES[10]])[0]
    assert made.paper_lab is not None and made.paper_lab[2] < -5
    assert abs(white[2]) < 0.5  # the blue of the paper is printed away
    assert made.inside(made.paper_lab[None] - [0.5, 0, 0])[0]  # type: ignore[index]
    assert not made.inside(np.array([[100.0, 0, 0]]))[0]  # type: ignore[index]


def test_a_profile_without_the_table_of_the_intent_says_so() -> None:
    lacking = LUSTRE.replace(b"B2A2", b"zzz2", 1)
    assert promise(lacking, "saturation").remarks == (
        "The profile has no saturation table; its perceptual one is used instead.",
    )
    assert promise().remarks == ()


def test_no_profile_means_that_source_values_reach_the_ink() -> None:
    made = promise()
    by_hand = lab_from_device(made.profile, np.array(SOURCES))
    assert np.allclose(made.under("no profile", PATCHES), by_hand, atol=1e-4)


def test_applied_twice_means_that_device_values_are_taken_for_the_encoding_again() -> None:
    made = promise()
    once = device_from_lab(made.profile, made.aims, made.intent, black_compensation=True)
    again = lab_from_xyz(xyz_from_rgb(once, "srgb"))
    by_hand = predicted_lab(made.profile, again, made.intent, black_compensation=True)
    twice = made.under("profile applied twice", PATCHES)
    assert twice is not None and np.allclose(twice, by_hand, atol=1e-4)
    assert delta_e_2000(made.lab(PATCHES), twice).mean() > 2


@pytest.mark.parametrize("encoding", [name for name in ENCODINGS if name != "srgb"])
def test_another_encoding_means_another_colour_for_the_same_numbers(encoding: Encoding) -> None:
    made = promise()
    aims = lab_from_xyz(xyz_from_rgb(np.array(SOURCES), encoding))
    by_hand = predicted_lab(made.profile, aims, made.intent, black_compensation=True)
    assert np.allclose(made.under(f"encoding {encoding}", PATCHES), by_hand, atol=1e-4)


@pytest.mark.parametrize("intent", ["perceptual", "saturation"])
def test_another_intent_means_the_ink_of_another_table(intent: Intent) -> None:
    made = promise()
    by_hand = predicted_lab(made.profile, made.aims, intent, black_compensation=True)
    assert np.allclose(made.under(f"intent {intent}", PATCHES), by_hand, atol=1e-4)


def test_printed_absolute_instead_shows_the_simulated_white_beside_its_own_paper() -> None:
    made = promise()
    shown = made.under("intent absolute colorimetric", PATCHES)
    device = device_from_lab(made.profile, made.aims, "absolute colorimetric", black_compensation=False)
    assert np.allclose(shown, lab_from_device(made.profile, device), atol=1e-4)


def test_compensation_the_other_way_round() -> None:
    on, off = promise(), promise(compensation=False)
    assert np.allclose(on.under("no compensation", PATCHES), off.lab(PATCHES), atol=1e-4)
    assert np.allclose(off.under("compensation", PATCHES), on.lab(PATCHES), atol=1e-4)
    assert on.under("compensation", PATCHES) is None


def test_without_an_encoding_nothing_is_said_of_other_encodings() -> None:
    made = promise(encoding=None)
    assert made.under("no profile", PATCHES) is None and made.under("encoding oprgb", PATCHES) is None
    assert made.under("no compensation", PATCHES) is not None


def test_the_absolute_frame_is_the_relative_one_on_its_paper() -> None:
    made = promise(intent="absolute colorimetric")
    other = made.under("intent relative colorimetric", PATCHES)
    relative = predicted_lab(made.profile, made.aims, "relative colorimetric", black_compensation=True)
    on_paper = lab_from_xyz(xyz_from_lab(relative) * made.profile.white_scale)
    assert np.allclose(other, on_paper, atol=1e-4)


def test_less_of_an_ink_is_what_the_tables_say_of_less_ink() -> None:
    made = promise()
    device = device_from_lab(made.profile, made.aims, "relative colorimetric", black_compensation=True)
    ways = less_ink(device, "RGB")
    for name in ("less of channel 2", "less of channel 3 in the middle", "less black"):
        less = made.under(name, PATCHES)
        assert less is not None
        assert np.allclose(less, lab_from_device(made.profile, ways[name]), atol=1e-4)
        assert less[:, 0].mean() > made.lab(PATCHES)[:, 0].mean()
