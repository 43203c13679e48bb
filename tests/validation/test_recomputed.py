"""Sessions of the demo worked out again by plain numpy and colour-science, without the project's functions.

Only readings, grades and the map are taken from the archive; colours come from colour-science, the cast of
the greys, the posterior and the shares from the formulas as written here.
"""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.judgement.tables import load_tables
from evaluation.published.colour_science import colour_science
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from tests.cases import some_now

GRADES = (5.0, 4.0, 3.0, 2.0, 1.0)
WHITE = np.array([96.42, 100.0, 82.49])  # D50, CIE 15, 2 degrees, as ICC.1 rounds it
SETTINGS = load_tables()


def graded(metric: str, value: float) -> float:
    anchor = SETTINGS.anchors[metric]
    at, grades = np.array(anchor.at), np.array(GRADES)
    return float(np.interp(value, at[::-1], grades[::-1]) if at[0] > at[-1] else np.interp(value, at, grades))


@pytest.mark.long
@pytest.mark.parametrize("number", some_now([2, 3, 4], 4))
def test_shares_of_a_verdict_by_weighted_least_squares(finished: Path, number: int) -> None:
    """x = m + N(0, 1), eye = x + lean + e, readings = x + common + a, solved by stacking every row; 200,000
    draws of the normal distribution that comes of it, then the limits. Within 2 points of what is said.
    """
    with open_archive(finished) as archive:
        bench = Bench(archive)
        session, weighing = sessions.load(archive, number), weigh.weigh(bench, number)
    found = [one for one in weighing.findings if one.agreement in ("agree", "disagree", "eye only",
             "instrument only") and (one.eye or one.instrument)]  # fmt: skip
    who = sorted({name for one in found if one.eye for name in one.eye.observers})
    assert set(who) <= {session.role(viewing.observer) for viewing in session.viewings}
    k = len(found)
    rows, wanted = [], []

    def line(columns: dict[int, float], value: float, spread: float) -> None:
        row = np.zeros(k + 2 + len(who))
        row[list(columns)] = list(columns.values())
        rows.append(row / spread)
        wanted.append(value / spread)

    for r, one in enumerate(found):
        line({r: 1, k: -1}, 0.0, 1.0)
        e = 0.0
        if one.eye is not None:
            e = one.eye.spread
            if one.agreement == "disagree" and one.instrument is not None:
                e = max(e, abs(one.eye.grade - one.instrument.grade) / 2)
            columns = {r: 1.0} | {
                k + 2 + who.index(name): 1 / len(one.eye.observers) for name in one.eye.observers
            }
            line(columns, one.eye.grade, e)
        if one.instrument is not None and one.agreement in ("agree", "instrument only"):
            line(
                {r: 1, k + 1: 1}, one.instrument.grade, max((0.25 + 1 / 12) ** 0.5, e, one.instrument.spread)
            )
    line({k + 1: 1}, 0.0, 0.2)
    for j in range(len(who)):
        line({k + 2 + j: 1}, 0.0, 0.3)
    A = np.array(rows)
    mean = np.linalg.lstsq(A, np.array(wanted), rcond=None)[0][:k]
    covariance = np.linalg.inv(A.T @ A)[:k, :k]
    x = np.clip(np.random.default_rng(1).multivariate_normal(mean, covariance, 200_000), 1, 5)
    told = 0
    for use, verdict in weighing.verdicts.items():
        if verdict.share is None:
            continue
        weights = SETTINGS.uses[use]  # type: ignore[index]
        own = [r for r, one in enumerate(found) if weights.weights.get(one.kind)]
        of_kind = {kind: sum(found[r].kind == kind for r in own) for kind in weights.weights}
        w = np.array([weights.weights[found[r].kind] / of_kind[found[r].kind] for r in own])
        key = np.array([found[r].kind in weights.key for r in own])
        g = x[:, own]
        average = g @ w / w.sum()
        low, other = g[:, key].min(axis=1), g[:, ~key].min(axis=1)
        refused = (low < 2.5) | (average < 3)
        accepted = ~refused & (low >= 3.25) & (other >= 2.5) & (average >= 3.75)
        shares = {"not accepted": refused.mean(), "accepted": accepted.mean()}
        shares["accepted with remarks"] = 1 - sum(shares.values())
        if any(one.startswith("Not done when judged") for one in verdict.reasons):
            continue  # nothing is accepted then
        assert verdict.share == pytest.approx(shares[verdict.leading or ""], abs=0.03), use
        told += 1
    assert told or number != 3


@pytest.mark.parametrize("number", some_now([1, 2, 3, 5], 1))
def test_casts_and_lightness_of_greys_by_colour_science(finished: Path, number: int) -> None:
    """CIELAB of every grey by colour-science from the XYZ of its spectra; the neutral aim is the paper's own
    chromaticity at its luminance; dE00 at equal L* of each third, and the worst third's grade.
    """
    with open_archive(finished) as archive:
        bench = Bench(archive)
        session = sessions.load(archive, number)
        sheet, taken = sheet_of(bench, session), read.taken_in(bench, session)
        findings = {one.region: one for one in weigh.weigh(bench, number).findings}
    region = next(one for one in sheet.regions if one.kind in ("neutral", "mono_neutral"))
    finding = findings[region.id]
    value = next(one for one in finding.metrics if one.name == "cast_by_third")
    runs = [one for one in taken if one.run.printed_as != "unmanaged" and one.run.stated.condition == "M1"]
    assert len(runs) == 1, "one sitting, so that one mean stands for a patch"
    lab = lab_of(runs[0])
    paper_xyz = xyz(
        np.mean([row for p in sheet.patches if p.role == "paper" for row in lab.get(p.id, [])], axis=0)
    )
    black = next(np.mean(lab[p.id], axis=0) for p in sheet.patches if p.role == "black" and p.id in lab)
    thirds: dict[int, list[float]] = {}
    with colour_science() as colour:
        for patch in (sheet.patch(name) for name in region.patch_ids if name in lab):
            own = np.mean(lab[patch.id], axis=0)
            relative = colour_lab(xyz(own) / paper_xyz * WHITE)
            if patch.role != "field" or relative[0] < 8:
                continue
            aim = colour_lab(paper_xyz * xyz(own)[1] / paper_xyz[1])
            off = float(colour.delta_E([own[0], aim[1], aim[2]], own, method="CIE 2000"))
            low = colour_lab(xyz(black) / paper_xyz * WHITE)[0]
            third = int(np.clip(3 * (relative[0] - low) / (100 - low), 0, 2))
            thirds.setdefault(third, []).append(off)
    worst = max(float(np.mean(own)) for own in thirds.values())
    assert value.value == pytest.approx(worst, abs=0.03)


def lab_of(taken: Any) -> dict[str, list[np.ndarray]]:
    """CIELAB of every reading by patch id, from spectra by colour-science, else as the file gives it."""
    run = taken.run
    if run.lab is not None:
        return {name: [run.lab[row] for row in rows] for name, rows in taken.matched.items()}
    with colour_science() as colour:
        found = {}
        for name, rows in taken.matched.items():
            each = []
            for row in rows:
                spectrum = colour.SpectralDistribution(
                    dict(zip(run.wavelengths.tolist(), run.spectra[row].tolist(), strict=True))
                )
                seen = colour.sd_to_XYZ(
                    spectrum, illuminant=colour.SDS_ILLUMINANTS["D50"], method="ASTM E308"
                )
                each.append(colour_lab(np.asarray(seen)))
            found[name] = each
    return found


def colour_lab(values: np.ndarray) -> np.ndarray:
    """CIELAB for the D50 of ICC.1, by the formula of ISO/CIE 11664-4."""
    t = np.asarray(values) / WHITE
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def xyz(lab: np.ndarray) -> np.ndarray:
    """Its inverse."""
    y = (lab[0] + 16) / 116
    f = np.array([y + lab[1] / 500, y, y - lab[2] / 200])
    return np.asarray(np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29)) * WHITE)
