"""The verdict for a use, by draws: how often the grades, within their spreads, give the same word."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from evaluation.judgement.opinion import Finding, Verdict, VerdictWord
from evaluation.judgement.posterior import Posterior
from evaluation.judgement.rows import BEST, WORST, Weights
from evaluation.judgement.tables import Tables
from evaluation.plain_text import capital, listed, lower_first, percent
from evaluation.session import READINESS
from evaluation.sheet.questions import question_sets

_WORDS: tuple[VerdictWord, ...] = ("not accepted", "accepted with remarks", "accepted")


@dataclass(frozen=True, slots=True)
class _Row:
    """A region that carries weight: its mean grade for the verdict, and whether eye and readings disagree."""

    finding: Finding
    weight: float
    key: bool
    grade: float
    disagree: bool


def verdict(
    weights: Weights,
    findings: Sequence[Finding],
    true: Posterior,
    open_serious: Sequence[str],
    tables: Tables,
) -> Verdict:
    """The verdict for one use: its word, how often simulated gradings give it, and why.

    A word that fewer than `verdict_share` of the draws give, or for "accepted with remarks" fewer than
    `verdict_remarks`, is "undecided", and less than `coverage` of the use's weight "incomplete".

    Parameters
    ----------
    weights : of the kinds of region for this use, and those it cannot do without.
    true : what the true grades of all graded regions may be, drawn together.
    open_serious : titles of serious readiness items that are not done; with any, nothing is "accepted".
    """
    use = weights.use
    left_out = _left_out(findings)
    shown = weights.on({finding.kind for finding in findings})
    weights = replace(
        weights, weights={kind: weight for kind, weight in shown.items() if kind not in left_out}
    )
    rows, missing, covered = _rows(weights, findings, true)
    total = sum(weights.weights.values())
    if missing or covered < tables["coverage"] * total - 1e-9:
        return Verdict(use, "incomplete", _incomplete(missing, covered / total, tables))
    true = true.of([row.finding.region for row in rows])
    words = _words(rows, true.draws, bool(open_serious), tables)
    shares = {word: float((words == k).mean()) for k, word in enumerate(_WORDS)}
    best = max(shares, key=lambda word: shares[word])
    apart = [row for row in rows if row.key and row.disagree]
    if apart:
        return Verdict(
            use, "undecided", (_disagreeing(apart),), _remedy(apart[0], open_serious), shares[best], best,
        )  # fmt: skip
    if shares[best] < tables["verdict_remarks" if best == "accepted with remarks" else "verdict_share"]:
        deciding = _decider(rows, true, bool(open_serious), tables)
        listed_shares = (f"{_listed_shares(shares)} simulated gradings.",)
        told = _open(best, shares[best], tables)
        remedy = _remedy(deciding, open_serious)
        return Verdict(use, "undecided", listed_shares, remedy, shares[best], best, told)
    reasons = (*_reasons(rows, true.draws, best, open_serious, shares[best], tables), *_unseen(rows))
    about = "" if shares[best] >= tables["verdict_sure"] else f", {_tenths(shares[best])}"
    return Verdict(use, best, reasons, None, shares[best], best, f"{best}{about}")


def _open(leading: VerdictWord, share: float, tables: Tables) -> str:
    """What is said of an undecided print beside that: the word it leans to, if it leans."""
    if share < tables["verdict_leans"]:
        return "undecided"
    if leading == "accepted with remarks":
        return "between accepted and not accepted: undecided"
    return f"leans to {leading}, {_tenths(share)}: undecided"


def _tenths(share: float) -> str:
    """A share as it is shown: no finer than such shares come true."""
    return f"about {min(9, round(10 * share))} in 10"


def _left_out(findings: Sequence[Finding]) -> frozenset[str]:
    """Kinds of region that show nothing in this mode: they carry no weight, whatever the use."""
    kinds = {finding.kind for finding in findings if finding.agreement == "left out"}
    return frozenset(kinds - {finding.kind for finding in findings if finding.agreement != "left out"})


def _unseen(rows: Sequence[_Row]) -> tuple[str, ...]:
    """What the verdict rests on that was not graded by eye."""
    unseen = [lower_first(row.finding.title) for row in rows if row.finding.agreement == "instrument only"]
    return (f"By readings alone, not graded by eye: {listed(unseen)}.",) if unseen else ()


def _disagreeing(rows: Sequence[_Row]) -> str:
    if len(rows) == 1:
        return f"{rows[0].finding.title}: eye and readings disagree, and it is a key region."
    titles = listed([lower_first(row.finding.title) for row in rows])
    return f"Eye and readings disagree in key regions: {titles}."


def _rows(
    weights: Weights, findings: Sequence[Finding], true: Posterior
) -> tuple[list[_Row], list[str], float]:
    """Graded regions with their weight, sentences on key kinds without a grade, and the weight covered."""
    rows: list[_Row] = []
    ungraded: list[str] = []
    absent: list[str] = []
    covered = 0.0
    mean = dict(zip(true.regions, np.clip(true.mean, WORST, BEST).tolist(), strict=True))
    for kind, weight in weights.weights.items():
        own = [one for one in findings if one.kind == kind and one.agreement != "left out"]
        for finding in own:
            if finding.region in mean:
                covered += weight / len(own)
                disagree = finding.agreement == "disagree"
                grade = mean[finding.region]
                rows.append(_Row(finding, weight / len(own), kind in weights.key, grade, disagree))
        if kind in weights.key and not own:
            absent.append(lower_first(question_sets()[kind].title))
        elif kind in weights.key and any(finding.region not in mean for finding in own):
            ungraded.append(lower_first(own[0].title))
    missing = [
        f"{which}: {listed(titles)}."
        for which, titles in (
            ("Key regions without a grade", ungraded),
            ("Key regions missing from this sheet", absent),
        )
        if titles
    ]
    return rows, missing, covered


def _words(
    rows: Sequence[_Row], grades: NDArray[np.float64], serious_open: bool, tables: Tables
) -> NDArray[np.int_]:
    """(draws,) index into _WORDS."""
    grades = np.clip(grades, WORST, BEST)
    weight = np.array([row.weight for row in rows])
    key = np.array([row.key for row in rows], dtype=bool)
    mean = grades @ weight / weight.sum()
    low_key = grades[:, key].min(axis=1) if key.any() else np.full(len(grades), np.inf)
    low_other = grades[:, ~key].min(axis=1) if (~key).any() else np.full(len(grades), np.inf)
    refused = (low_key < tables["refused_key"]) | (mean < tables["refused_mean"])
    accepted = (
        (low_key >= tables["accepted_key"])
        & (low_other >= tables["accepted_other"])
        & (mean >= tables["accepted_mean"])
    )
    if serious_open:
        accepted = np.zeros_like(accepted)
    return np.where(refused, 0, np.where(accepted, 2, 1))


def _reasons(
    rows: Sequence[_Row],
    grades: NDArray[np.float64],
    word: VerdictWord,
    open_serious: Sequence[str],
    share: float,
    tables: Tables,
) -> tuple[str, ...]:
    """Regions that would change the verdict if they were faultless; serious items that hold it back."""
    if word == "accepted":
        return ()
    moved: list[tuple[float, str]] = []
    for index, row in enumerate(rows):
        lifted = grades.copy()
        lifted[:, index] = BEST
        words = _words(rows, lifted, bool(open_serious), tables)
        drop = share - float((words == _WORDS.index(word)).mean())
        if drop >= tables["reason_share"]:
            moved.append((-drop, _reason(row)))
    reasons = [reason for _, reason in sorted(moved)]
    if not reasons:
        reasons = _lowest(rows, word, tables)
    if open_serious and word == "accepted with remarks":
        reasons.append(f"Not done when judged: {', '.join(open_serious)}.")
    return tuple(reasons)


def _lowest(rows: Sequence[_Row], word: VerdictWord, tables: Tables) -> list[str]:
    """Where no single region moves the verdict, all that lie below the limit it missed."""
    refused = word == "not accepted"
    found = [
        row
        for row in rows
        if row.grade
        < (
            tables["refused_mean" if refused else "accepted_mean"]
            if not row.key
            else tables["refused_key" if refused else "accepted_key"]
        )
    ]
    found.sort(key=lambda row: row.grade)
    return [_reason(row) for row in found]


def _reason(row: _Row) -> str:
    """A region that holds a verdict: its grade, of what it is made, and why."""
    eye, read = row.finding.eye, row.finding.instrument
    made = (
        f" (eye {eye.grade:.1f}, readings {read.grade:.1f})" if eye is not None and read is not None else ""
    )
    shown = row.finding.combined or eye or read
    return f"{row.finding.title} {row.grade if shown is None else shown.grade:.1f}{made}. {row.finding.why}"


def _decider(rows: Sequence[_Row], true: Posterior, serious_open: bool, tables: Tables) -> _Row:
    """The region that raises the share of the most frequent word most, were its grade known."""

    def share(at: int) -> float:
        words = _words(rows, true.certain(at), serious_open, tables)
        return max(float((words == k).mean()) for k in range(len(_WORDS)))

    return rows[max(range(len(rows)), key=share)]


def _remedy(row: _Row, open_serious: Sequence[str]) -> str:
    """The cheapest that may decide a region: a look, then readings, which a fresh print has to wait for."""
    title = row.finding.title.lower()
    later = " once dry" if READINESS["dry"] in open_serious else ""
    if row.disagree:
        return f"Looking at {title} again, or reading it again{later}, would decide it."
    if row.finding.agreement == "instrument only":
        return f"Grading {title} by eye would decide it."
    if row.finding.viewings < 2:
        return f"A second look at {title} would decide it."
    if row.finding.instrument is None:
        return f"Another observer's look at {title} would decide it."
    return f"Reading {title} again{later} would decide it."


def _incomplete(missing: Sequence[str], covered: float, tables: Tables) -> tuple[str, ...]:
    reasons = list(missing)
    if covered < tables["coverage"]:
        reasons.append(
            f"The regions graded carry {percent(covered)} of the weight; "
            f"{percent(tables['coverage'])} are needed."
        )
    return tuple(reasons)


def _listed_shares(shares: Mapping[VerdictWord, float]) -> str:
    """Every word that has a tenth of the draws or more: "Accepted in 5, accepted with remarks in 4 of 10"."""
    named = [
        f"{word} in {round(10 * share)}"
        for word, share in reversed(list(shares.items()))
        if round(10 * share) > 0
    ]
    return capital(f"{', '.join(named)} of 10")
