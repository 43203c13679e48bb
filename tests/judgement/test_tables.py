"""The tables of judgement: whole, marked, and overridden key by key."""

import re

import numpy as np
import pytest

from evaluation.errors import SheetProblem
from evaluation.judgement.override import span
from evaluation.judgement.tables import load_tables
from evaluation.metrics.catalogue import CATALOGUE
from evaluation.metrics.strength import terms

# Worked out elsewhere than from one region's patches: by profile, picture, black, light or time.
NOT_OF_A_REGION = {
    "d_max",
    "d_range",
    "gamut_volume",
    "spectral_flatness",
    "whitener_db",
    "picture_share",
    "drying",
}


def test_every_metric_has_one_line_and_one_anchor_or_is_never_graded() -> None:
    tables = load_tables()
    told = {name for name, line in CATALOGUE.items() if line.shown_with}
    assert set(CATALOGUE) - told == set(tables.anchors)
    assert set(tables.never_graded) == NOT_OF_A_REGION | told
    assert not set(tables.never_graded) & set(tables.anchors)


def test_anchors_rise_or_fall_strictly() -> None:
    for anchor in load_tables().anchors.values():
        steps = [b - a for a, b in zip(anchor.at, anchor.at[1:], strict=False)]
        assert all(step < 0 if anchor.larger_is_better else step > 0 for step in steps), anchor.metric


def test_no_kind_of_region_has_more_than_three_key_attributes() -> None:
    tables = load_tables()
    for kind in {kind for anchor in tables.anchors.values() for kind in anchor.regions}:
        keys = [a for a in tables.of_kind(kind) if a.key and kind not in a.pair_only]
        assert len(keys) <= 3
        assert len({a.attribute for a in keys}) == len(keys)


def test_weights_of_every_use_sum_to_ten_and_key_regions_carry_weight() -> None:
    for use in load_tables().uses.values():
        assert sum(use.on(()).values()) == pytest.approx(10)
        assert set(use.key) <= set(use.on(()))
        assert use.on(use.where_shown) == use.weights and len(use.where_shown) == 3


def test_thresholds_from_memory_are_marked_so() -> None:
    tables = load_tables()
    assert tables.thresholds["flare"].mark == "MEMORY"
    assert tables.thresholds["line_factor"].mark == "MEMORY"
    assert all(row.unit and row.note for row in tables.thresholds.values())


def test_shipped_thresholds_lie_within_what_their_unit_can_mean() -> None:
    tables = load_tables()
    for row in (*tables.thresholds.values(), *tables.clues.values()):
        low, high = span(row.unit)
        assert low <= row.value <= high, row.name


@pytest.mark.parametrize("name", list(load_tables().thresholds))
def test_a_threshold_is_held_within_what_its_unit_can_mean(name: str) -> None:
    """The least and the largest of every threshold are let in; beyond, the file is refused by its key."""
    low, high = span(load_tables().thresholds[name].unit)
    for value in (low, high):
        assert load_tables(f"[thresholds]\n{name} = {value:g}\n")[name] == value
    for value in (low - 1, high + 1):
        with pytest.raises(SheetProblem, match=rf"thresholds\.{name}: .*from {low:g} to {high:g}, found"):
            load_tables(f"[thresholds]\n{name} = {value:g}\n")


def test_draws_are_whole() -> None:
    with pytest.raises(SheetProblem, match=r"thresholds\.verdict_draws: expected a whole number"):
        load_tables("[thresholds]\nverdict_draws = 100.5\n")


def test_a_use_is_left_with_a_region_to_weigh() -> None:
    none = "\n".join(f"{kind} = 0" for kind in load_tables().uses["portrait"].weights)
    with pytest.raises(SheetProblem, match="no kind of region is left with a weight"):
        load_tables(f"[uses.portrait]\nkey = []\n{none}\n")
    with pytest.raises(SheetProblem, match="“skin” is key to this use: give it a weight"):
        load_tables("[uses.portrait]\nskin = 0\n")


def test_grades_are_linear_between_anchors_and_clipped() -> None:
    evenness = load_tables().anchors["evenness"]
    assert evenness.grade([0.0, 0.10, 0.15, 0.20, 5.0]).tolist() == pytest.approx([5, 5, 4.5, 4, 1])
    kept = load_tables().anchors["shadow_kept_share"]
    assert kept.grade([1.0, 0.70, 0.60, 0.0]).tolist() == pytest.approx([5, 4, 3.5, 1])


def test_a_fifth_of_the_chroma_lost_is_graded_three_and_half_of_it_one() -> None:
    """C* 60 printed as 48 and as 30: dC / (1 + 0.045 mean C*), the term of CIEDE2000: COMPUTED by hand."""
    lost, _ = terms(np.array([50.0, 60.0, 0.0]), np.array([[50.0, 48.0, 0.0], [50.0, 30.0, 0.0]]))
    assert lost.tolist() == pytest.approx([-3.499, -9.917], abs=5e-4)
    assert load_tables().anchors["colour_strength"].grade(-lost).tolist() == pytest.approx([3, 1], abs=5e-3)


def test_an_override_changes_the_digest_and_is_named() -> None:
    shipped = load_tables()
    tables = load_tables("[anchors.evenness]\nat = [0.2, 0.3, 0.4, 0.7, 1.2]\n[thresholds]\nflare = 0.01\n")
    assert tables.anchors["evenness"].at == (0.2, 0.3, 0.4, 0.7, 1.2)
    assert tables["flare"] == 0.01
    assert tables.limits.flare == 0.01
    assert tables.overridden == ("anchors.evenness.at", "thresholds.flare")
    assert tables.digest != shipped.digest
    assert load_tables("").digest == shipped.digest == load_tables("# nothing said\n").digest


def test_a_use_can_be_weighted_anew() -> None:
    tables = load_tables('[uses.portrait]\nskin = 6\nkey = ["skin"]\n')
    assert tables.uses["portrait"].weights["skin"] == 6
    assert tables.uses["portrait"].key == ("skin",)
    assert tables.uses["general"] == load_tables().uses["general"]


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("[anchors.eveness]\nat = [1, 2, 3, 4, 5]", "anchors.eveness"),
        ("[anchors.evenness]\nat = [1, 2, 3]", "anchors.evenness.at"),
        ("[anchors.evenness]\nat = [1, 2, 2, 4, 5]", "anchors.evenness.at"),
        ("[anchors.shadow_kept_share]\nat = [0.1, 0.2, 0.3, 0.4, 0.5]", "anchors.shadow_kept_share.at"),
        ("[anchors.evenness]\nat = [1, 2, 3, 4, 5]\nkey = true", "anchors.evenness.key"),
        ("[uses.wedding]\nskin = 3", "uses.wedding"),
        ("[uses.portrait]\nhair = 3", "uses.portrait.hair"),
        ('[uses.portrait]\nkey = ["detail"]', "uses.portrait.key"),
        ("[thresholds]\nflair = 0.01", "thresholds.flair"),
        ("[thresholds]\nflare = 3", "thresholds.flare"),
        ('[thresholds]\nflare = "much"', "thresholds.flare"),
        ("[causes]\nc99 = 1", "causes.c99"),
        ("[colours]\nx = 1", "colours"),
        ("flare = ", "Expected: TOML"),
    ],
)
def test_mistakes_of_an_override_are_told_by_key_path(text: str, path: str) -> None:
    with pytest.raises(SheetProblem, match=re.escape(path)) as told:
        load_tables(text, "weighing.toml")
    assert told.value.where.startswith("weighing.toml")
