"""Skins under other lights: only what a printed skin moves beyond real skin is told."""

import numpy as np
import pytest

from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.inconstancy import chart_skin_shift
from evaluation.metrics.catalogue import shown, worked_out

SKINS = np.array([[66.0, 18.0, 18.0], [38.0, 13.0, 15.0]])  # one light, one deep


def moved(light: str) -> np.ndarray:
    """da*, db* of the chart's two skins (ISO 17321-1), the light one first."""
    skins = chart_skin_shift(illuminants()[light])
    return np.array([skins["light skin"][1:], skins["dark skin"][1:]])


def test_a_print_that_moves_as_skin_does_has_no_excess(wedge):
    outcome = worked_out("skin_light_excess", wedge([66, 38], aim=SKINS, shifts={"A": moved("A")}))
    assert outcome.metric.value == pytest.approx(0.0, abs=1e-12)
    assert outcome.metric.where == "under A"
    assert outcome.metric.patches == 2


def test_a_print_that_stands_still_lacks_the_whole_shift_of_skin(wedge):
    outcome = worked_out("skin_light_excess", wedge([66, 38], aim=SKINS, shifts={"A": np.zeros((2, 2))}))
    assert outcome.metric.value == pytest.approx(np.linalg.norm(moved("A"), axis=1).mean())


def test_the_worst_light_is_named_and_a_lamp_of_ones_own_is_left_out(wedge):
    shifts = {
        "A": np.add(moved("A"), [1.0, 0.0]),
        "LED-B3": np.add(moved("LED-B3"), [0.0, 2.0]),
        "my lamp": np.full((2, 2), 9.0),
    }
    metric = worked_out("skin_light_excess", wedge([66, 38], aim=SKINS, shifts=shifts)).metric
    assert (metric.value, metric.where) == (pytest.approx(2.0), "under LED-B3")


def test_it_is_told_of_skins_alone_and_only_where_there_are_spectra(wedge):
    evidence = wedge([66, 38], aim=SKINS, shifts={"A": moved("A")})
    assert [metric.name for metric in shown("skin", evidence)] == ["skin_light_excess"]
    assert shown("neutral", evidence) == ()
    assert shown("skin", wedge([66, 38], aim=SKINS)) == ()
