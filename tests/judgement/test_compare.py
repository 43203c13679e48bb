"""Two prints compared. They are made here: the sheet of four regions, noise of readings and of sheets."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_absolute
from evaluation.judgement.compare import Difference, Print, compare, level_caveat
from evaluation.judgement.opinion import Finding, Opinion
from evaluation.metrics.gather import gather
from evaluation.readings.run import Repeats
from evaluation.session import PrintingCondition
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet

REGIONS = ("neutral", "shadow", "skin", "saturation")
READING = np.eye(3) * 0.08**2
SHEETS = dict.fromkeys((*REGIONS, "detail"), READING + np.eye(3) * 0.10**2)


@pytest.fixture
def make(room: Any, colour_4: Sheet) -> Any:
    """A print of the sheet: paper, noise, and what was done to it."""

    def print_of(
        session: int,
        *,
        rng: np.random.Generator | None = None,
        shift: Mapping[str, tuple[float, float, float]] | None = None,
        density: float = 2.5,
        paper: tuple[float, float, float] = (95.1, 0.4, -5.2),
        grades: Mapping[str, float] | None = None,
        **more: Any,
    ) -> Print:
        xyz = map_black(xyz_from_lab(source_lab(colour_4)), 0.0, 100 * 10**-density)
        lab = lab_from_xyz(media_absolute(xyz, xyz_from_lab(np.array(paper))))
        if rng is not None:
            lab = lab + rng.standard_normal(lab.shape) * 0.08
            for region in REGIONS:  # the sheet moves all patches of a region together
                own = [
                    k
                    for k, patch in enumerate(colour_4.patches)
                    if patch.region == region and patch.role != "paper"
                ]
                lab[own] += rng.standard_normal(3) * 0.10
        for k, patch in enumerate(colour_4.patches):
            if shift and patch.region in shift and patch.role == "field":
                lab[k] += shift[patch.region]
        rows = {p.id: tuple(row) for p, row in zip(colour_4.patches, lab.tolist(), strict=True)}
        taken = replace(room.taken(colour_4, rows), repeats=Repeats(READING, 0.2, 0.3, 0.4, 60, 30))
        condition = PrintingCondition(intent="relative colorimetric", black_point_compensation=True)
        gathered = gather(colour_4, [taken], condition, room.tables.limits)
        assert gathered is not None
        given: dict[str, Any] = {
            "sheet_digest": "d",
            "evidence": gathered.regions,
            "condition": "M1",
            "whitened": True,
            "sheets": SHEETS,
        }
        return Print(session=session, findings=findings(grades or {}), **(given | more))

    return print_of


def findings(grades: Mapping[str, float]) -> dict[str, Finding]:
    def one(region: str) -> Finding:
        opinion = Opinion(grades.get(region, 4.5), 0.4, 1, "")
        return Finding(region, region, region, opinion, opinion, "agree", opinion, "")

    return {region: one(region) for region in (*REGIONS, "detail")}


def rows(a: Print, b: Print, room: Any, regions: tuple[str, ...] = REGIONS) -> dict[str, Difference]:
    return {row.region: row for row in compare(a, b, regions, room.tables)}


def test_a_print_is_alike_itself(make: Any, room: Any) -> None:
    found = rows(make(1), make(2), room)
    assert {row.word for row in found.values()} == {"alike"}
    assert not any(row.exceeds_repeatability for row in found.values())


def test_copies_of_one_print_show_no_difference(make: Any, room: Any) -> None:
    """Nominal 95 % clean tables; 40 pairs of copies, noise of readings and of sheets."""
    rng = np.random.default_rng(31)
    clean = [
        all(row.word == "alike" for row in rows(make(1, rng=rng), make(2, rng=rng), room).values())
        for _ in range(40)
    ]
    assert np.mean(clean) >= 0.85  # three standard errors below 0.95


def test_a_large_difference_is_visible_and_named(make: Any, room: Any) -> None:
    rng = np.random.default_rng(32)
    found = rows(make(1, rng=rng), make(2, rng=rng, shift={"skin": (0.0, -2.5, 2.5)}), room)
    assert found["skin"].word == "visible"
    assert found["skin"].reason == "skin hue"
    assert {found[region].word for region in ("shadow", "saturation")} == {"alike"}


def test_a_difference_beyond_repeats_and_below_the_anchor_is_measured(make: Any, room: Any) -> None:
    found = rows(make(1), make(2, shift={"neutral": (0.0, 0.0, 1.3)}), room)
    assert found["neutral"].word == "measured"
    assert found["neutral"].exceeds_repeatability


def test_greys_are_compared_by_their_cast_not_by_their_paper(make: Any, room: Any) -> None:
    warm = make(2, paper=(95.1, 0.4, 2.0))
    assert rows(make(1), warm, room)["neutral"].word == "alike"


def test_two_prints_that_lean_alike_are_alike(make: Any, room: Any) -> None:
    lean = {"neutral": (0.0, 0.0, 3.0)}
    assert rows(make(1, shift=lean), make(2, shift=lean), room)["neutral"].word == "alike"
    assert rows(make(1, shift=lean), make(2), room)["neutral"].word == "visible"
    assert rows(make(1), make(2, shift=lean), room)["neutral"].word == "visible"


def test_a_weak_black_is_visible(make: Any, room: Any) -> None:
    found = rows(make(1), make(2, density=1.6), room)
    assert found["neutral"].word == "visible"
    assert found["skin"].word != "not comparable"


def test_regions_of_the_eye_alone_compare_grades(make: Any, room: Any) -> None:
    """One grade apart or more is visible (project's own choice)."""
    a, near, far = make(1), make(2, grades={"detail": 3.6}), make(3, grades={"detail": 3.5})
    assert rows(a, near, room, ("detail",))["detail"].word == "alike"
    assert rows(a, far, room, ("detail",))["detail"].word == "visible"
    assert rows(a, far, room, ("detail",))["detail"].difference == pytest.approx(-1.0)


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ({"sheet_digest": "e"}, "another sheet"),
        ({"condition": "M3"}, "M3 against another measurement condition"),
        ({"condition": None}, "measurement condition not stated"),
        ({"condition": "M2"}, "M1 against M2 on whitened paper"),
        ({"instrument": "hand-held"}, "read with another instrument"),
    ],
)
def test_what_cannot_be_compared_says_why(make: Any, room: Any, more: dict[str, Any], reason: str) -> None:
    a = make(1, instrument="table-top")
    b = make(2, **({"instrument": "table-top"} | more))
    row = rows(a, b, room, ("neutral",))["neutral"]
    assert (row.word, row.reason, row.difference) == ("not comparable", reason, None)


def test_strong_colours_may_be_compared_across_conditions(make: Any, room: Any) -> None:
    found = rows(make(1), make(2, condition="M2"), room)
    assert found["saturation"].word == "alike"
    assert found["neutral"].word == "not comparable"


def test_without_whitener_conditions_may_be_compared(make: Any, room: Any) -> None:
    found = rows(make(1, whitened=False), make(2, condition="M2", whitened=False), room)
    assert found["neutral"].word == "alike"


def test_a_region_that_disagrees_in_itself_is_not_compared(make: Any, room: Any) -> None:
    b = make(2)
    parted = replace(b.findings["skin"], agreement="disagree", combined=None)
    b = replace(b, findings={**b.findings, "skin": parted})
    row = rows(make(1), b, room)["skin"]
    assert (row.word, row.reason) == ("not comparable", "eye and readings disagree in session 2")


def test_an_unknown_spread_of_sheets_is_wider_and_said(make: Any, room: Any) -> None:
    shift = {"neutral": (0.0, 0.0, 1.3)}
    known = rows(make(1), make(2, shift=shift), room)["neutral"]
    unknown = rows(make(1, sheets=None), make(2, shift=shift, sheets=None), room)["neutral"]
    assert known.exceeds_repeatability and not unknown.exceeds_repeatability
    assert level_caveat(make(1), make(2), room.tables) == ""
    assert "sheet to sheet not known" in level_caveat(make(1), make(2, sheets=None), room.tables)
