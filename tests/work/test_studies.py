"""Which limits a verdict hangs on, and calibrations from sessions, at the demo."""

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.documents import settings as documents
from evaluation.errors import UsageProblem
from evaluation.judgement.opinion import Finding, Opinion
from evaluation.judgement.override import span
from evaluation.judgement.tables import load_tables
from evaluation.session import PrintingCondition, Session, Viewing
from evaluation.work import calibrate, studies
from evaluation.work.bench import Bench
from evaluation.work.weigh import weigh

NOW = datetime(2026, 3, 9, tzinfo=UTC)
TABLES = load_tables()


def test_a_limit_that_moves_a_verdict_is_told_and_no_other(
    finished: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Worked out again by hand with that limit in the settings: the same word comes."""
    monkeypatch.setattr(studies, "_TRIED", ("accepted_mean", "coverage"))
    with open_archive(finished) as archive:
        bench = Bench(archive)
        monkeypatch.setattr(studies, "_changed", _only_limits(studies._changed))
        moved = studies.sensitivity(bench, 3)
        kept = weigh.weigh(bench, 3)
        assert {one.name for one in moved} == {"accepted_mean"}
        (one,) = moved
        stricter = load_tables(f"[thresholds]\naccepted_mean = {one.tried}\n")
        again = weigh.under(bench, sessions.load(archive, 3), stricter)
        for use, was, then in one.verdicts:
            assert kept.verdicts[use].verdict == was != then == again.verdicts[use].verdict
        shape = msgspec.convert(studies.sensitivity_document(3, moved), documents.Sensitivity)
        assert shape["limits"][0]["name"] == "accepted_mean"
        assert weigh.weigh(bench, 3) == kept, "nothing that was tried is kept"


def test_what_is_tried_of_a_limit_is_a_value_that_somebody_may_set() -> None:
    """A quarter more of a share of 0.8 would be all of it."""
    for name, was, tried, tables in studies._changed(TABLES, set()):
        low, high = span(TABLES.thresholds[name].unit)
        value = tables[name]
        assert low < value < high and f"{value:.3g}" == tried != was, name
    tried_of = {name: tables[name] for name, _, _, tables in studies._changed(TABLES, set())}  # the higher
    assert tried_of["verdict_share"] == pytest.approx((TABLES["verdict_share"] + 1) / 2)
    assert tried_of["accepted_key"] == pytest.approx(1.25 * TABLES["accepted_key"])


def _only_limits(changed):  # type: ignore[no-untyped-def]
    return lambda tables, metrics: changed(tables, set())


@pytest.mark.long
def test_a_calibration_changes_verdicts_and_no_grade(finished: Path) -> None:
    with open_archive(finished) as archive:
        bench = Bench(archive)
        found = calibrate.calibration(bench, (1, 2, 4, 5))
        assert found.regions >= 24 and -2 < found.lean < 2
        before = weigh.weigh(bench, 4)
        text = found.toml("booth", date(2026, 3, 9))
        after = weigh.weigh(Bench(archive, settings_text=text), 4)
        assert after.findings == before.findings
        shares = [one.verdicts["general"].share for one in (before, after)]
        assert shares[0] != shares[1]
        assert any("the calibration “booth” of 2026-03-09" in caveat for caveat in after.caveats)


def print_of(uid: str, apart: float, regions: int = 8) -> Any:
    """A session of one viewing, its eye so far above the readings in every region."""
    seen = Viewing(1, 1, "observer 1", "full", NOW, ())
    session = Session(1, uid, "", NOW, 1, PrintingCondition(), viewings=(seen,))
    rows = [
        Finding(
            f"r{k}", "", "", Opinion(4.0, 0.6, 1, ""), Opinion(4.0 - apart, 0.5, 1, ""), "agree", None, ""
        )
        for k in range(regions)
    ]
    return session, rows


def test_a_calibration_is_the_mean_over_regions_and_its_error_holds_the_drift_of_prints() -> None:
    """Leans of -0.2, -0.5 and -0.5 in 8 regions each: -0.4; sd 0.1445 over 24, and 0.2 / sqrt(3) of drift."""
    found = calibrate.found([print_of(*one) for one in (("a", -0.2), ("b", -0.5), ("c", -0.5))],
                               TABLES)  # fmt: skip
    assert (found.observer, found.regions, found.sessions) == ("observer 1", 24, ("a", "b", "c"))
    assert found.lean == pytest.approx(-0.4)
    assert found.error == pytest.approx((0.1445**2 / 24 + 0.04 / 3) ** 0.5, abs=0.001)
    text = found.toml('Ann "at the booth"', date(2026, 3, 9))
    (own,) = load_tables(text).calibrations
    assert (own.name, own.lean, own.made) == ('Ann "at the booth"', -0.4, "2026-03-09")


def test_ten_prints_tell_what_regions_spread_by() -> None:
    """Grades drawn: regions spread by 0.9 around a print's mean, eye and readings each err by 0.55 of their
    own, and the eye is harsh by 0.4 besides. Each error alone would make 1.05 of it.
    """
    rng = np.random.default_rng(8)
    prints = []
    for number in range(60):
        x = rng.normal(3.5, 0.5) + 0.9 * rng.standard_normal(8)
        grades = x[:, None] + 0.55 * rng.standard_normal((8, 2)) - [0.4, 0.0]
        session, _ = print_of(f"p{number}", 0.0)
        prints.append((session, [
            Finding(f"r{k}", "", "", Opinion(eye, 0.6, 1, ""), Opinion(read, 0.5, 1, ""), "agree", None, "")
            for k, (eye, read) in enumerate(grades.tolist())
        ]))  # fmt: skip
    found = calibrate.found(prints, TABLES)
    assert found.spread == pytest.approx(0.9, abs=0.06)
    assert calibrate.found(prints[:9], TABLES).spread is None
    (own,) = load_tables(found.toml("booth", date(2026, 3, 9))).calibrations
    assert own.spread == pytest.approx(found.spread, abs=0.005)
    even = [print_of(f"e{k}", 0.1) for k in range(10)]
    assert calibrate.found(even, TABLES).spread == 0.6, "a weak region among good ones is no chance"


@pytest.mark.parametrize(
    "prints", [(("a", -0.2), ("b", -0.5)), (("a", 0.1, 3), ("b", 0.1, 3), ("c", 0.1, 3))]
)
def test_too_little_makes_none(prints: Any) -> None:
    with pytest.raises(UsageProblem, match="too little for a calibration"):
        calibrate.found([print_of(*one) for one in prints], TABLES)
