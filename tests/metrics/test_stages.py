"""The steps from aim over expected to measured: vectors that add, differences that do not."""

from dataclasses import replace

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.judgement.tables import load_tables
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.stages import Stage, paper_change, patch_stages, stages
from evaluation.sheet.layout import Patch

AIM = np.array([[50.0, 60, 40], [60, 0, 0], [70, -20, 30]])
EXPECTED = np.array([[48.0, 52, 38], [60, 0, 0], [69, -19, 28]])
LIMITS = load_tables().limits
MEASURED = np.array([[49.0, 55, 37], [61, 1, -1], [69, -18, 27]])


def evidence(aim: Array = AIM, measured: Array = MEASURED) -> Evidence:
    return Evidence(
        patches=tuple(Patch(f"p{k}", "", "r") for k in range(len(aim))),
        aim=aim,
        measured=measured,
        absolute=measured,
        grey_aim=np.zeros((len(aim), 2)),
        source_l=aim[:, 0],
        covariance=np.tile(np.eye(3) * 0.01, (len(aim), 1, 1)),
        counts=np.ones(len(aim)),
        black=None,
        aim_name="paper",
        tone_has_aim=True,
        limits=LIMITS,
        predicted=EXPECTED,
    )


def of_one(region: Evidence) -> tuple[Stage, ...]:
    return stages({"r": region}).get("r", ())


def test_several_regions_at_once_give_what_each_gives_alone() -> None:
    """As many patches in each, and another number of those outside; one of them without a prediction."""
    less = replace(evidence(), inside=np.array([False, True, True]))
    other = evidence(AIM + 1, MEASURED[::-1].copy())
    together = stages({"a": less, "b": replace(other, predicted=None), "c": other})
    assert list(together) == ["a", "c"]
    for name, alone in (("a", of_one(less)), ("c", of_one(other))):
        for one, same in zip(together[name], alone, strict=True):
            assert one.vector == pytest.approx(same.vector, abs=1e-12)
            assert one.de00 == pytest.approx(same.de00, abs=1e-12)
            assert one.behind == same.behind


def test_vectors_add_up_patch_by_patch_and_region_by_region() -> None:
    found = patch_stages(evidence())
    assert found is not None
    first, second, whole = (found.vectors(name) for name in ("intent and gamut", "print", "whole"))
    assert np.allclose(first + second, whole) and np.allclose(whole, MEASURED - AIM)
    profile, printed, total = of_one(evidence())
    assert np.allclose(np.add(profile.vector, printed.vector), total.vector)


def test_each_step_has_its_own_de00_and_these_do_not_add() -> None:
    profile, printed, total = of_one(evidence())
    assert profile.de00 == pytest.approx(delta_e_2000(AIM, EXPECTED).mean())
    assert printed.de00 == pytest.approx(delta_e_2000(EXPECTED, MEASURED).mean())
    assert total.de00 == pytest.approx(delta_e_2000(AIM, MEASURED).mean())
    assert profile.de00 is not None and printed.de00 is not None and total.de00 is not None
    assert profile.de00 + printed.de00 > total.de00 + 0.1


def test_patches_outside_the_gamut_never_enter_the_print_step() -> None:
    inside = np.array([False, True, True])
    profile, printed, total = of_one(replace(evidence(), inside=inside))
    assert printed.de00 == pytest.approx(delta_e_2000(EXPECTED, MEASURED)[inside].mean())
    assert (profile.counted, printed.counted, total.counted) == (3, 2, 3)
    assert np.allclose(np.add(profile.vector, printed.vector), total.vector)
    assert of_one(replace(evidence(), inside=np.zeros(3, bool)))[1].de00 is None


def test_an_intent_that_rerenders_still_starts_from_the_source() -> None:
    rerendered = replace(evidence(), aim=EXPECTED, source_aim=AIM)
    assert of_one(rerendered) == of_one(evidence())


def test_the_readings_themselves_count_not_their_draws() -> None:
    drawn = np.stack([MEASURED, MEASURED + 5])
    assert of_one(replace(evidence(), measured=drawn)) == of_one(evidence())


def test_patches_without_one_of_the_three_colours_take_no_part() -> None:
    aim = AIM.copy()
    aim[0] = np.nan
    assert of_one(replace(evidence(), aim=aim))[2].patches == 2
    assert of_one(replace(evidence(), aim=np.full((3, 3), np.nan))) == ()
    assert of_one(replace(evidence(), predicted=None)) == ()


class Expecting:
    """Only what `paper_change` asks of a promise."""

    def __init__(self, paper: Array | None) -> None:
        self.paper_lab = paper


def test_the_papers_own_change_is_absolute() -> None:
    found = paper_change(Expecting(np.array([95.0, 0, -5])), np.array([85.0, 88, 74]))  # type: ignore[arg-type]
    assert found is not None and found.profile == (95.0, 0.0, -5.0)
    assert found.measured[0] == pytest.approx(95.16, abs=0.01)  # Y 88: 116 * 0.88 ** (1 / 3) - 16
    assert found.de00 == pytest.approx(float(delta_e_2000(found.profile, found.measured)))
    assert paper_change(Expecting(None), np.array([85.0, 88, 74])) is None  # type: ignore[arg-type]
    assert paper_change(None, np.array([85.0, 88, 74])) is None
