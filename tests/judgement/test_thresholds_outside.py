"""Anchors against what observers saw in published studies: own choices, but not against the evidence.

Grade 5 is "imperceptible" and 4 "perceptible, but not annoying" (ITU-R BT.500): the value at 5 must not lie
much above what was just seen, and the value at 4 not below it.
"""

from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_ch, delta_e_2000
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import media_relative
from evaluation.judgement.tables import load_tables
from evaluation.published.passport import read_toml

PUBLISHED = Path(__file__).parents[1] / "published" / "thresholds.toml"
_, STUDIES = read_toml(PUBLISHED.read_text(encoding="utf-8"), "thresholds.toml")
SEEN = STUDIES["printed_images"]
ANCHORS = load_tables().anchors


@pytest.mark.parametrize(
    ("metric", "attribute"),
    [
        ("tone_shift", "lightness"),
        ("tone_mid_shift", "lightness"),
        ("skin_hue", "hue"),
        ("skin_chroma", "chroma"),
    ],
)
def test_what_was_just_seen_is_where_imperceptible_ends(metric: str, attribute: str) -> None:
    """Liu et al. 2013: these anchors name the study, and take its threshold as the end of grade 5."""
    anchor = ANCHORS[metric]
    assert "Liu 2013" in anchor.source
    assert anchor.at[0] == pytest.approx(SEEN[attribute], abs=0.05)
    assert anchor.at[1] > SEEN[attribute]


def test_an_anchor_that_names_a_study_holds_its_value() -> None:
    """Every "5 = threshold ..." of a source is a value of the study, so no row quotes it wrongly."""
    quoted = {name: anchor for name, anchor in ANCHORS.items() if "; 5 = " in anchor.source}
    assert len(quoted) >= 4
    for name, anchor in quoted.items():
        assert any(f"{value:g}" in anchor.source for value in SEEN.values()), name


@pytest.mark.parametrize("axis", [1, 2], ids=["along a*", "along b*"])
def test_casts_at_the_threshold_of_hue_and_at_twice_that_of_chroma_lie_around_grade_4(axis: int) -> None:
    """A grey shifted by what is just seen in hue is hardly a fault; by twice that of chroma it is below 4."""
    shifts = np.zeros((2, 3))
    shifts[:, axis] = SEEN["hue"], 2 * SEEN["chroma"]
    grey = np.array([60.0, 0, 0])
    grades = ANCHORS["cast_by_third"].grade(delta_e_2000(grey, grey + shifts))
    assert grades[0] > 4.0 > grades[1]


def test_what_is_seen_in_one_attribute_is_less_than_what_is_seen_in_a_whole_image() -> None:
    """Song and Luo 2001 changed images as a whole: their 2.5 is above every single threshold, and perceptible
    but not annoying to the metrics that take a mean."""
    assert max(SEEN.values()) < STUDIES["global_changes"]["perceptible"]
    for metric in ("tone_shift", "skin_chroma"):
        assert 4.0 <= ANCHORS[metric].grade(STUDIES["global_changes"]["perceptible"]) < 5.0


def test_papers_as_far_apart_as_that_move_an_absolute_neutral_visibly() -> None:
    """High et al. 2023: from dE*ab 3 between papers on, the aim should follow the paper. Held against 0,0 the
    greys of such a paper would be called a cast; against the paper's own grey they are none."""
    apart = STUDIES["papers"]["apart"]
    paper = xyz_from_lab(np.array([95.0, 0.0, -apart]))
    greys = np.array([[y, y, y] for y in (0.2, 0.4, 0.7)]) * paper
    lab = lab_from_xyz(greys)
    absolute = delta_ch(np.column_stack([lab[:, 0], np.zeros((3, 2))]), lab)
    relative = lab_from_xyz(media_relative(greys, paper))
    assert ANCHORS["dch_mean"].grade(absolute.mean()) < 4.0
    assert np.abs(relative[:, 1:]).max() < 1e-9


def test_what_was_only_recalled_decides_nothing() -> None:
    for anchor in ANCHORS.values():
        for value in STUDIES["recalled"].values():
            assert f"{value:g}" not in anchor.source
