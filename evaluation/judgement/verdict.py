"""The verdict for a use, by draws: how often the grades, within their spreads, give the same word."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from evaluation.judgement.opinion import Finding, VerdictWord
from evaluation.judgement.posterior import Posterior
from evaluation.judgement.table_rows import BEST, WORST, Weights
from evaluation.judgement.tables import Tables
from evaluation.session import READINESS
from evaluation.sheet.questions import question_sets

_WORDS: tuple[VerdictWord, ...] = ("not accepted", "accepted with remarks", "accepted")


@dataclass(frozen=True, slots=True)
class Weighted:
    """A region that carries weight: its mean grade for the verdict, and whether eye and readings disagree."""

    finding: Finding
    weight: float
    key: bool
    grade: float
    disagree: bool


@dataclass(frozen=True, slots=True)
class Remedy:
    """The cheapest that may decide a verdict; `fresh`: the print has to dry before it is read."""

    does: Literal["look or read again", "grade by eye", "look again", "another observer", "read again"]
    title: str
    fresh: bool


@dataclass(frozen=True, slots=True)
class Decision:
    """A verdict for a use before it is put into words.

    share       of the draws that give `leading`, the most frequent word; None when incomplete
    shares      of the draws, each word
    hedged      the share belongs beside the word: a verdict that is not sure, an undecided one that leans
    ungraded    titles of key regions without a grade; `absent` those of key regions that the sheet lacks
    covered     share of the use's weight that has a grade, where it is less than `needed`
    apart       key regions whose eye and readings disagree: they leave the verdict undecided
    holding     regions that keep the print from "accepted"
    not_done    titles of serious readiness items that do
    unseen      regions that count by their readings alone
    """

    use: str
    word: VerdictWord
    share: float | None = None
    leading: VerdictWord | None = None
    shares: Mapping[VerdictWord, float] = field(default_factory=dict)
    hedged: bool = False
    ungraded: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    covered: float | None = None
    needed: float = 0.0
    apart: tuple[Weighted, ...] = ()
    holding: tuple[Weighted, ...] = ()
    not_done: tuple[str, ...] = ()
    unseen: tuple[Weighted, ...] = ()
    remedy: Remedy | None = None


def decide(
    weights: Weights,
    findings: Sequence[Finding],
    true: Posterior,
    open_serious: Sequence[str],
    tables: Tables,
) -> Decision:
    """The verdict for one use: its word, how often simulated gradings give it, and what it rests on.

    A word that fewer than `verdict_share` of the draws give, or for "accepted with remarks" fewer than
    `verdict_remarks`, is "undecided", and less than `coverage` of the use's weight "incomplete".

    Parameters
    ----------
    weights : of the kinds of region for this use, and those it cannot do without.
    true : what the true grades of all graded regions may be, drawn together.
    open_serious : titles of serious readiness items that are not done; with any, nothing is "accepted".
    """
    left_out = _left_out(findings)
    shown = weights.on({finding.kind for finding in findings})
    weights = replace(
        weights, weights={kind: weight for kind, weight in shown.items() if kind not in left_out}
    )
    rows, ungraded, absent, weight = _rows(weights, findings, true)
    total, coverage = sum(weights.weights.values()), tables["coverage"]
    if ungraded or absent or weight < coverage * total - 1e-9:
        covered = weight / total
        return Decision(
            weights.use, "incomplete", ungraded=ungraded, absent=absent,
            covered=covered if covered < coverage else None, needed=coverage,
        )  # fmt: skip
    true = true.of([row.finding.region for row in rows])
    words = _words(rows, true.draws, bool(open_serious), tables)
    shares = {word: float((words == k).mean()) for k, word in enumerate(_WORDS)}
    best = max(shares, key=lambda word: shares[word])
    share = shares[best]
    undecided = Decision(weights.use, "undecided", share, best, shares)
    apart = tuple(row for row in rows if row.key and row.disagree)
    if apart:
        return replace(undecided, apart=apart, remedy=_remedy(apart[0], open_serious))
    if share < tables["verdict_remarks" if best == "accepted with remarks" else "verdict_share"]:
        deciding = _decider(rows, true, bool(open_serious), tables)
        leans = share >= tables["verdict_leans"]
        return replace(undecided, hedged=leans, remedy=_remedy(deciding, open_serious))
    return Decision(
        weights.use, best, share, best, shares, hedged=share < tables["verdict_sure"],
        holding=_holding(rows, true.draws, best, bool(open_serious), share, tables),
        not_done=tuple(open_serious) if best == "accepted with remarks" else (),
        unseen=tuple(row for row in rows if row.finding.agreement == "instrument only"),
    )  # fmt: skip


def _left_out(findings: Sequence[Finding]) -> frozenset[str]:
    """Kinds of region that show nothing in this mode: they carry no weight, whatever the use."""
    kinds = {finding.kind for finding in findings if finding.agreement == "left out"}
    return frozenset(kinds - {finding.kind for finding in findings if finding.agreement != "left out"})


def _rows(
    weights: Weights, findings: Sequence[Finding], true: Posterior
) -> tuple[list[Weighted], tuple[str, ...], tuple[str, ...], float]:
    """Graded regions with their weight, titles of key ones ungraded and absent, and the weight covered."""
    rows: list[Weighted] = []
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
                rows.append(Weighted(finding, weight / len(own), kind in weights.key, grade, disagree))
        if kind in weights.key and not own:
            absent.append(question_sets()[kind].title)
        elif kind in weights.key and any(finding.region not in mean for finding in own):
            ungraded.append(own[0].title)
    return rows, tuple(ungraded), tuple(absent), covered


def _words(
    rows: Sequence[Weighted], grades: NDArray[np.float64], serious_open: bool, tables: Tables
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


def _holding(
    rows: Sequence[Weighted],
    grades: NDArray[np.float64],
    word: VerdictWord,
    serious_open: bool,
    share: float,
    tables: Tables,
) -> tuple[Weighted, ...]:
    """Regions that would change the verdict if they were faultless, the one that changes it most first."""
    if word == "accepted":
        return ()
    moved: list[tuple[float, str, Weighted]] = []
    for index, row in enumerate(rows):
        lifted = grades.copy()
        lifted[:, index] = BEST
        words = _words(rows, lifted, serious_open, tables)
        drop = share - float((words == _WORDS.index(word)).mean())
        if drop >= tables["reason_share"]:
            moved.append((-drop, row.finding.title, row))
    return tuple(row for *_, row in sorted(moved, key=lambda one: one[:2])) or _lowest(rows, word, tables)


def _lowest(rows: Sequence[Weighted], word: VerdictWord, tables: Tables) -> tuple[Weighted, ...]:
    """Where no single region moves the verdict, all that lie below the limit it missed."""
    limit = "refused" if word == "not accepted" else "accepted"
    found = [row for row in rows if row.grade < tables[f"{limit}_{'key' if row.key else 'mean'}"]]
    return tuple(sorted(found, key=lambda row: row.grade))


def _decider(rows: Sequence[Weighted], true: Posterior, serious_open: bool, tables: Tables) -> Weighted:
    """The region that raises the share of the most frequent word most, were its grade known."""

    def share(at: int) -> float:
        words = _words(rows, true.certain(at), serious_open, tables)
        return max(float((words == k).mean()) for k in range(len(_WORDS)))

    return rows[max(range(len(rows)), key=share)]


def _remedy(row: Weighted, open_serious: Sequence[str]) -> Remedy:
    """A look before readings, which a fresh print has to wait for."""
    fresh = READINESS["dry"] in open_serious
    if row.disagree:
        return Remedy("look or read again", row.finding.title, fresh)
    if row.finding.agreement == "instrument only":
        return Remedy("grade by eye", row.finding.title, fresh)
    if row.finding.viewings < 2:
        return Remedy("look again", row.finding.title, fresh)
    if row.finding.instrument is None:
        return Remedy("another observer", row.finding.title, fresh)
    return Remedy("read again", row.finding.title, fresh)
