"""Two prints compared. They are made here: the sheet of four regions, noise of readings and of sheets."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_absolute
from evaluation.judgement.grade_change import limit
from evaluation.judgement.opinion import Finding, Opinion
from evaluation.judgement.two_prints import Difference, Print, compare
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


@pytest.mark.parametrize("pairs", [2, pytest.param(40, marks=pytest.mark.long)])
def test_copies_of_one_print_show_no_difference(make: Any, room: Any, pairs: int) -> None:
    """Nominal 95 % clean tables; pairs of copies, noise of readings and of sheets."""
    rng = np.random.default_rng(31)
    clean = [
        all(row.word == "alike" for row in rows(make(1, rng=rng), make(2, rng=rng), room).values())
        for _ in range(pairs)
    ]
    assert np.mean(clean) >= 0.85  # of 40 pairs three standard errors below 0.95


def test_a_large_difference_is_large_and_named(make: Any, room: Any) -> None:
    rng = np.random.default_rng(32)
    found = rows(make(1, rng=rng), make(2, rng=rng, shift={"skin": (0.0, -2.5, 2.5)}), room)
    assert found["skin"].word == "large"
    assert found["skin"].reason == "skin hue"
    assert {found[region].word for region in ("shadow", "saturation")} == {"alike"}


def test_a_difference_beyond_repeats_and_below_the_anchor_is_measured(make: Any, room: Any) -> None:
    found = rows(make(1), make(2, shift={"neutral": (0.0, 0.0, 1.3)}), room)
    assert found["neutral"].word == "measured"
    assert found["neutral"].exceeds_repeatability


def test_greys_are_compared_by_their_cast_not_by_their_paper(make: Any, room: Any) -> None:
    warm = make(2, paper=(95.1, 0.4, 2.0))
    assert rows(make(1), warm, room)["neutral"].word == "alike"


@pytest.mark.long
def test_two_prints_that_lean_alike_are_alike(make: Any, room: Any) -> None:
    lean = {"neutral": (0.0, 0.0, 3.0)}
    assert rows(make(1, shift=lean), make(2, shift=lean), room)["neutral"].word == "alike"
    assert rows(make(1, shift=lean), make(2), room)["neutral"].word == "large"
    assert rows(make(1), make(2, shift=lean), room)["neutral"].word == "large"


def test_a_weak_black_is_large(make: Any, room: Any) -> None:
    found = rows(make(1), make(2, density=1.6), room)
    assert found["neutral"].word == "large"
    assert found["skin"].word != "not comparable"


def test_regions_of_the_eye_alone_compare_grades(make: Any, room: Any) -> None:
    """From one viewing each, a grade apart says little: viewings vary by 1.42 grades."""
    a = make(1, grades={"detail": 5.0})
    same, near, far = (make(k, grades={"detail": grade}) for k, grade in ((2, 5.0), (3, 4.0), (4, 3.0)))
    found = [rows(a, other, room, ("detail",))["detail"] for other in (same, near, far)]
    assert [one.word for one in found] == ["alike", "open", "by grade"]
    assert found[2].difference == pytest.approx(-2.0)
    assert (found[1].graded, found[1].viewings) == ((5.0, 4.0), (1, 1))


@pytest.mark.parametrize(("viewings", "expected"), [(1, 1.42), (2, 1.05), (3, 0.90)])
def test_what_viewings_vary_by(room: Any, viewings: int, expected: float) -> None:
    """1.64 s, s^2 = 2 max(0.58^2 / n, 0.29^2) + 2 x 0.2^2, worked out by hand; the project's own choice."""
    assert limit(viewings, viewings, True, room.tables) == pytest.approx(expected, abs=0.01)
    wider = (expected**2 + 1.64**2 * 2 * 0.3**2) ** 0.5
    assert limit(viewings, viewings, False, room.tables) == pytest.approx(wider, abs=0.01)


def test_equal_prints_are_seldom_told_by_grade(room: Any) -> None:
    """Drawn grades of equal prints, noise 0.5 and drift 0.2, rounded: 4 to 11 in 100 lie beyond."""
    rng = np.random.default_rng(5)
    for viewings in (1, 2, 3):
        truth = rng.uniform(2, 4.5, 20_000)[:, None, None]
        drift = 0.2 * rng.standard_normal((20_000, 2, 1))
        grades = np.clip(np.rint(truth + drift + 0.5 * rng.standard_normal((20_000, 2, viewings))), 1, 5)
        apart = np.abs(np.diff(grades.mean(axis=2), axis=1))
        assert (apart > limit(viewings, viewings, True, room.tables)).mean() < 0.12


@pytest.mark.long
def test_grades_and_readings_both_enter_the_word(make: Any, room: Any) -> None:
    calm, shifted = make(1, grades={"skin": 5.0}), {"skin": (0.0, -2.5, 2.5)}
    beyond = make(2, shift=shifted, grades={"skin": 3.0})
    assert rows(calm, beyond, room)["skin"].word == "apart"
    unseen = make(2, grades={"skin": 3.0})
    assert rows(calm, unseen, room)["skin"].word == "by grade"
    better = make(2, shift=shifted, grades={"skin": 5.0})
    worse = make(1, grades={"skin": 3.0})
    better = replace(better, findings=with_read(better.findings, "skin", 2.0))
    worse = replace(worse, findings=with_read(worse.findings, "skin", 5.0))
    assert rows(worse, better, room)["skin"].word == "contradict"


def with_read(found: Mapping[str, Finding], region: str, grade: float) -> dict[str, Finding]:
    return {**found, region: replace(found[region], instrument=Opinion(grade, 0.4, 1, ""))}


@pytest.mark.parametrize("apart", [{"light": "P2"}, {"beside": True}])
def test_grades_given_otherwise_do_not_stand_beside_each_other(
    make: Any, room: Any, apart: dict[str, Any]
) -> None:
    """Another light, or a print beside the one that was graded, is another scale."""
    a, b = make(1, light="P1", grades={"skin": 5.0, "detail": 5.0}), make(2, **({"light": "P1"} | apart))
    found = rows(a, b, room, ("skin", "detail"))
    assert (found["skin"].word, found["skin"].graded) == ("alike", ())
    assert found["detail"].word == "not comparable"


def test_what_is_large_is_what_is_named(make: Any, room: Any) -> None:
    """A cast beyond repeats and too small to be seen, steps far off: the steps make the word."""
    row = rows(make(1), make(2, shift={"neutral": (3.0, 0.0, 1.3)}), room, ("neutral",))["neutral"]
    assert (row.word, row.reason) == ("large", "evenness")


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ({"sheet_digest": "e"}, "another sheet"),
        ({"condition": "M3"}, "M3 against another measurement condition"),
        ({"condition": None}, "measurement condition not stated"),
        ({"condition": "M2"}, "M1 against M2 on paper with optical brightener"),
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


def test_an_unknown_spread_of_sheets_is_wider(make: Any, room: Any) -> None:
    shift = {"neutral": (0.0, 0.0, 1.3)}
    known = rows(make(1), make(2, shift=shift), room)["neutral"]
    unknown = rows(make(1, sheets=None), make(2, shift=shift, sheets=None), room)["neutral"]
    assert known.exceeds_repeatability and not unknown.exceeds_repeatability
