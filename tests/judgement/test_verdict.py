"""Verdicts by draws. Worked examples are COMPUTED from the limits, which are the project's own choice."""

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from evaluation.judgement.opinion import Finding, Lean, Opinion
from evaluation.judgement.posterior import posterior
from evaluation.judgement.tables import load_tables
from evaluation.judgement.verdict import decide
from evaluation.telling.verdicts import verdict

GENERAL = (
    "neutral",
    "ring",
    "shadow",
    "highlight",
    "skin",
    "saturation",
    "gradient",
    "detail",
    "tints",
    "picture",
)


def findings(grade: float = 4.0, spread: float = 0.35, **others: float) -> tuple[Finding, ...]:
    """A general print, every region at `grade` but for some."""
    return tuple(found(kind, others.get(kind, grade), spread) for kind in GENERAL)


def found(kind: str, grade: float | None, spread: float = 0.35, **more: Any) -> Finding:
    combined = None if grade is None else Opinion(grade, spread, 1, "")
    return Finding(kind, kind.title(), kind, combined, None, "eye only", combined, "Why.", viewings=1, **more)


def judged(room: Any, rows: tuple[Finding, ...], use: str = "general", serious: tuple[str, ...] = ()) -> Any:
    return verdict(decide(room.tables.uses[use], rows, posterior(rows, room.tables), serious, room.tables))


ONE_VIEWING = math.hypot(0.5, 1 / math.sqrt(12))


def weighed(spread: float, **others: tuple[float, float]) -> tuple[Finding, ...]:
    """Eyes 4 and readings 4.2 in eight regions, the eye alone in detail and picture; but for some."""
    rows = []
    for kind in GENERAL:
        by_eye, read = others.get(kind, (4.0, 4.2))
        eye = Opinion(by_eye, spread, 1, "", ("observer 1",))
        alone = kind in ("detail", "picture")
        instrument = None if alone else Opinion(read, 0.54, 9, "")
        word = "eye only" if alone else "agree"
        rows.append(Finding(kind, kind.title(), kind, eye, instrument, word, eye, "Why.", viewings=1))  # type: ignore[arg-type]
    return tuple(rows)


@pytest.mark.parametrize(
    ("spread", "others", "leading", "share", "told"),
    [
        (ONE_VIEWING, {}, "accepted", 0.912, "accepted, about 9 in 10"),
        (0.29, {}, "accepted", 0.950, None),
        (
            ONE_VIEWING,
            {"skin": (2.0, 2.2)},
            "not accepted",
            0.613,
            "leans to not accepted, about 6 in 10: undecided",
        ),
    ],
)
def test_shares_of_worked_prints(
    room: Any, spread: float, others: Any, leading: str, share: float, told: str | None
) -> None:
    """COMPUTED with 400,000 draws by plain numpy: 0.912 from one viewing, 0.950 from three, 0.614 with weak
    skin.
    """
    many = load_tables("[thresholds]\nverdict_draws = 5000\n")
    rows = weighed(spread, **others)
    result = verdict(decide(many.uses["general"], rows, posterior(rows, many), (), many))
    assert result.leading == leading and told in (result.words, None)
    assert result.share == pytest.approx(share, abs=0.015)


def test_a_posterior_is_that_of_plain_least_squares(room: Any) -> None:
    """Recomputed by stacking priors and grades as rows of one weighted least-squares problem."""
    rows = weighed(0.58, skin=(2.0, 2.2))
    found = posterior(rows, room.tables)
    k = len(rows)
    lines, wanted = [], []

    def line(columns: dict[int, float], value: float, spread: float) -> None:
        row = np.zeros(k + 3)  # regions, mean, lean, anchors
        row[list(columns)] = list(columns.values())
        lines.append(row / spread)
        wanted.append(value / spread)

    for r, row in enumerate(rows):
        line({r: 1, k: -1}, 0.0, 1.0)
        line({r: 1, k + 1: 1}, row.eye.grade, 0.58)
        if row.instrument is not None:
            line({r: 1, k + 2: 1}, row.instrument.grade, ONE_VIEWING if ONE_VIEWING > 0.58 else 0.58)
    line({k + 1: 1}, 0.0, 0.3)
    line({k + 2: 1}, 0.0, 0.2)
    A = np.array(lines)
    solved = np.linalg.lstsq(A, np.array(wanted), rcond=None)[0][:k]
    assert found.mean == pytest.approx(solved, abs=1e-6)
    assert found.covariance == pytest.approx(np.linalg.inv(A.T @ A)[:k, :k], abs=1e-6)
    known = found.certain(0)
    assert np.ptp(known[:, 0]) < 1e-9 and known[:, 1].std() < found.draws[:, 1].std()


def test_a_known_lean_is_taken_out_and_makes_surer(room: Any) -> None:
    """The eye less the readings, as a calibration holds it: a harsh eye's regions lie above its grades."""
    alone = posterior(weighed(0.58), room.tables)
    harsh = posterior(weighed(0.58), room.tables, (Lean("observer 1", -0.5, 0.1),))
    other = posterior(weighed(0.58), room.tables, (Lean("observer 2", -0.5, 0.1),))
    assert harsh.mean.mean() > alone.mean.mean() + 0.05
    assert np.diag(harsh.covariance).max() < np.diag(alone.covariance).max()
    assert (other.mean == alone.mean).all()


def test_regions_that_spread_little_are_surer_of_each_other(room: Any) -> None:
    """One weak region among good ones, both voices at 2.1: pulled up further where prints are even."""
    rows = weighed(0.58, skin=(2.0, 2.2))
    usual, even = posterior(rows, room.tables), posterior(rows, room.tables, (), 0.6)
    at = usual.regions.index("skin")
    assert even.mean[at] > usual.mean[at] + 0.2
    assert np.diag(even.covariance).max() < np.diag(usual.covariance).max()
    assert (posterior(rows, room.tables, (), 1.0).mean == usual.mean).all()


def test_remarks_stand_from_nine_in_ten_only(room: Any) -> None:
    """A narrow band between two limits: said less surely it is right less often (drawn)."""
    rows = findings(4.6, 0.29, tints=2.0)
    result = judged(room, rows)
    assert result.leading == "accepted with remarks" and 0.6 < result.share < 0.9
    assert (result.verdict, result.words) == ("undecided", "borderline: undecided")
    assert " of 10 simulated gradings." in result.reasons[0] and "%" not in result.reasons[0]


def test_all_fours_are_accepted(room: Any) -> None:
    result = judged(room, weighed(0.29))
    assert result.verdict == "accepted"
    assert result.share > 0.9
    assert result.reasons == ()


def test_a_key_region_at_two_is_not_accepted_though_the_mean_is_fine(room: Any) -> None:
    """A weighted mean hides failures: six 5s and a 1 have a mean of 4.43 (COMPUTED)."""
    assert pytest.approx(4.43, abs=0.005) == (6 * 5 + 1) / 7
    result = judged(room, findings(5.0, skin=1.5))
    assert result.verdict == "not accepted"
    assert result.reasons[0].startswith("Skin 1.5")
    assert len(result.reasons) == 1


def test_stricter_limits_would_leave_all_fours_undecided(room: Any) -> None:
    """With 3.75 for key regions and 4 for the mean (COMPUTED)."""
    strict = load_tables("[thresholds]\naccepted_key = 3.75\naccepted_mean = 4.0\n")
    true = posterior(findings(), strict)
    assert decide(strict.uses["general"], findings(), true, (), strict).word == "undecided"


def test_a_serious_item_left_open_keeps_it_to_remarks(room: Any) -> None:
    result = judged(room, findings(4.6), serious=("viewing light",))
    assert result.verdict == "accepted with remarks"
    assert result.reasons == ("Not done when judged: viewing light.",)


def test_a_weak_minor_region_is_a_remark(room: Any) -> None:
    result = judged(room, findings(4.6, 0.3, tints=1.6))
    assert result.verdict == "accepted with remarks"
    assert result.reasons[0].startswith("Tints 1.6")


def test_an_ungraded_key_region_is_incomplete(room: Any) -> None:
    rows = tuple(found(k, None) if k == "skin" else found(k, 4.5) for k in GENERAL)
    result = judged(room, rows)
    assert result.verdict == "incomplete"
    assert result.share is None
    assert result.reasons == ("Key regions without a grade: skin.",)


def test_less_than_four_fifths_of_the_weight_is_incomplete(room: Any) -> None:
    rows = tuple(found(k, 4.5 if k in ("neutral", "shadow", "skin", "saturation") else None) for k in GENERAL)
    result = judged(room, rows)
    assert result.verdict == "incomplete"
    assert result.reasons == ("The regions graded carry 60 % of the weight; 80 % are needed.",)


def test_four_regions_are_too_few_for_every_use(room: Any) -> None:
    rows = tuple(found(k, 5.0) for k in ("neutral", "shadow", "skin", "saturation"))
    assert {judged(room, rows, use).verdict for use in room.tables.uses} == {"incomplete"}


def test_a_key_region_in_disagreement_is_undecided(room: Any) -> None:
    eye, instrument = Opinion(2.0, 0.5, 1, ""), Opinion(3.9, 0.5, 9, "")
    parted = Finding(
        "shadow", "Shadow detail", "shadow", eye, instrument, "disagree", None, "Why.", viewings=1
    )
    rows = tuple(parted if row.kind == "shadow" else row for row in findings(4.5))
    result = judged(room, rows)
    assert result.verdict == "undecided"
    assert result.reasons == ("Shadow detail: eye and readings disagree, and it is a key region.",)
    assert result.would_decide == "Looking at shadow detail again, or reading it again, would decide it."


def test_the_region_that_would_decide_is_the_one_on_the_edge(room: Any) -> None:
    result = judged(room, findings(4.8, 0.3, skin=3.2))
    assert result.verdict == "undecided"
    assert result.would_decide == "A second look at skin would decide it."
    assert result.share < 0.8


def test_pictures_gloss_and_structure_count_on_sheets_that_show_them(room: Any) -> None:
    """A sheet drawn before lacks nothing; on one that has them they are graded, and a bad one tells."""
    earlier = findings(4.5)
    more = tuple(found(kind, 4.5) for kind in ("scenes", "gloss", "structure"))
    assert judged(room, (*earlier, *more)).verdict == judged(room, earlier).verdict == "accepted"
    ungraded = [found(kind, None) for kind in ("scenes", "gloss", "structure", "detail", "picture")]
    kept = [one for one in earlier if one.kind not in ("detail", "picture")]
    assert judged(room, (*kept, *ungraded[3:])).verdict == "accepted"
    assert judged(room, (*kept, *ungraded)).reasons == (
        "The regions graded carry 75 % of the weight; 80 % are needed.",
    )
    poor = judged(room, (*earlier, found("scenes", 1.5), *more[1:]))
    assert poor.verdict == "accepted with remarks" and poor.reasons[0].startswith("Scenes 1.5")


def test_two_regions_of_a_kind_share_its_weight(room: Any) -> None:
    twice = (*findings(4.5), found("neutral", 4.5))
    assert judged(room, twice).verdict == judged(room, findings(4.5)).verdict


def test_the_same_grades_have_the_same_verdict(room: Any) -> None:
    assert judged(room, findings(3.6)) == judged(room, findings(3.6))


def test_uses_weigh_the_same_print_differently(room: Any) -> None:
    grades: Mapping[str, float] = {"skin": 1.5}
    rows = findings(4.8, 0.3, **grades)
    assert judged(room, rows, "portrait").verdict == "not accepted"
    assert judged(room, rows, "landscape").verdict == "accepted with remarks", "no key region there"


def test_a_print_that_is_not_dry_is_read_again_once_it_is(room: Any) -> None:
    eye, instrument = Opinion(2.0, 0.5, 1, ""), Opinion(3.9, 0.5, 9, "")
    parted = Finding(
        "shadow", "Shadow detail", "shadow", eye, instrument, "disagree", None, "Why.", viewings=1
    )
    rows = tuple(parted if row.kind == "shadow" else row for row in findings(4.5))
    result = judged(room, rows, serious=("dry",))
    assert result.would_decide == (
        "Looking at shadow detail again, or reading it again once dry, would decide it."
    )
