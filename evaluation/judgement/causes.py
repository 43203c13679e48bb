"""Likely causes: evidence for and against, weighed; a suspicion, never more.

They are looked for where something is wrong or the print differs measurably from what it should be. At most
`cause_most` are shown, and circumstances alone never make one.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from types import ModuleType
from typing import Final

import numpy as np

from evaluation.judgement.clues import (
    circumstances,
    colours,
    exchanged,
    eye,
    fit,
    greys,
    inks,
    measured,
    paper,
    readings,
    shadows,
    whole,
)
from evaluation.judgement.clues.departs import ALONE, print_off
from evaluation.judgement.clues.explained import Explained
from evaluation.judgement.clues.facts import Answer, Clues, is_wrong, with_hypotheses
from evaluation.judgement.opinion import Cause, Finding
from evaluation.judgement.table_rows import CauseRow, Clue
from evaluation.judgement.tables import Tables

MODULES: Final[tuple[ModuleType, ...]] = (
    fit,
    inks,
    greys,
    shadows,
    colours,
    paper,
    readings,
    exchanged,
    circumstances,
    eye,
    measured,
    whole,
)

# Families of what may be wrong with a print that reads as it should: nothing of ink, profile, paper or gamut.
_OF_PRINT: Final = "colour"
_NAMED: Final = "fault_"  # clues of a fault that the eye named: readings may be blind to it
NONE: Final = "none"
_NONE_TEXT: Final = "none of the known causes explains this"
_NONE_CHECK: Final = (
    "the print itself, with a loupe and under another light; then read the worst patches again"
)
_HARDLY_VISIBLE: Final = "measurable, hardly visible"
_CALM: Final = "no region is graded below {limit:g}: nothing to repair unless it grows"


def looked_for(findings: Sequence[Finding], tables: Tables) -> bool:
    """Whether anything is wrong: a grade of eye or instrument below the limit, or a pair that disagrees."""
    shown = [finding for finding in findings if finding.agreement not in ("not graded yet", "none")]
    return any(is_wrong(finding, tables) for finding in shown)


def likely(clues: Clues) -> tuple[Cause, ...]:
    """At most `cause_most` causes, the heaviest first; those lighter than `cause_least` are left out.

    Where nothing is graded low, only causes with a measured clue, and their text says that they hardly show.
    """
    tables = clues.tables
    wrong = looked_for(tuple(clues.findings.values()), tables)
    if not wrong and clues.evidence is None:
        return ()  # nothing that the eye has graded was read
    answers: dict[str, Answer] = {}  # several causes share a clue
    if wrong or print_off(clues):
        clues = with_hypotheses(clues)
    elif not any(_answer(name, clues, answers) for name in ALONE):
        return ()
    rows = tables.causes if wrong else [row for row in tables.causes if _measured(row, clues, answers)]
    weighed = [(row, cause) for row in rows if (cause := _weighed(row, clues, answers)) is not None]
    standing = [
        (row, cause)
        for row, cause in weighed
        if cause.weight >= tables["cause_least"] and not (clues.calm and _silent(row, clues, answers))
    ]
    shown = _told(standing, clues)
    if wrong:
        return shown
    return tuple(_calm(cause, tables) for cause in shown if cause.id != NONE)


def _silent(row: CauseRow, clues: Clues, answers: dict[str, Answer]) -> bool:
    """Whether calm readings speak against a cause of the print: no measured test, no named fault for it."""
    speaking = _found(row.evidence_for, clues, answers)
    return row.family == _OF_PRINT and not any(
        one.measured or one.name.startswith(_NAMED) for one in speaking
    )


def _told(standing: Sequence[tuple[CauseRow, Cause]], clues: Clues) -> tuple[Cause, ...]:
    """Those likely enough among all and beside "none of the known causes", at most `cause_most`; or that."""
    tables, whole = clues.tables, clues.explained
    if not standing:
        return (_none(whole),) if whole is not None and whole.rms > tables["sheet_mean"] else ()
    score = np.array([_score(row, cause, clues) for row, cause in standing] + [tables["none_score"]])
    share = np.exp(score - score.max())
    *own, none = (share / share.sum()).tolist()
    least = max(tables["told_least"], tables["told_beside_none"] * none)
    # Of equal score, the one with less against it first.
    order = sorted(range(len(own)), key=lambda k: (-own[k], len(standing[k][1].evidence_against)))
    if none >= max(own):
        kept = [k for k in order if standing[k][0].own_test]
        return tuple(standing[k][1] for k in kept) or ((_none(whole),) if whole is not None else ())
    kept = [k for k in order if own[k] >= least or standing[k][0].own_test]
    return tuple(standing[k][1] for k in kept[: int(tables["cause_most"])])


def _score(row: CauseRow, cause: Cause, clues: Clues) -> float:
    """What counts for a cause: its weight, and how much of the departure its family explains."""
    tables, whole = clues.tables, clues.explained
    explained = tables["cause_explained_even"]
    if whole is not None and row.family:
        explained = {
            "colour": whole.colour,
            "stripes": whole.stripes,
            "single": max(tables["cause_single_least"], whole.single),
        }[row.family]
    beyond = min(explained, tables["cause_explained_most"]) - tables["cause_explained_even"]
    return tables["cause_counts"] * cause.weight + tables["cause_explained"] * beyond


def _none(whole: Explained | None) -> Cause:
    """The finding where the print is off and no known cause explains it."""
    off = () if whole is None else (f"the readings lie {whole.rms:.1f} dE*ab off what is expected",)
    return Cause(NONE, _NONE_TEXT, 0.0, off, (), _NONE_CHECK, "ten minutes")


def _calm(cause: Cause, tables: Tables) -> Cause:
    """A suspicion on a print without a fault. Its text begins with that: the end of a line may be cut off."""
    calm = _CALM.format(limit=tables["cause_below"])
    return replace(
        cause,
        text=f"{cause.text} ({_HARDLY_VISIBLE})",
        evidence_against=(calm, *cause.evidence_against),
    )


@cache
def clue(name: str) -> Callable[[Clues], Answer]:
    """The clue of that name: a public function of one of `MODULES`. Raises KeyError."""
    for module in MODULES:
        found: Callable[[Clues], Answer] | None = getattr(module, name, None)
        if found is not None and found.__module__ == module.__name__ and not name.startswith("_"):
            return found
    raise KeyError(name)


def _measured(row: CauseRow, clues: Clues, answers: dict[str, Answer]) -> bool:
    """Whether a measured clue speaks for it."""
    return bool(_found([one for one in row.evidence_for if one.measured], clues, answers))


def _weighed(row: CauseRow, clues: Clues, answers: dict[str, Answer]) -> Cause | None:
    """A cause with what was found for and against it; None where nothing seen or read speaks for it."""
    speaking = _found(row.evidence_for, clues, answers)
    if all(one.only_supports for one in speaking):
        return None
    against = _found(row.evidence_against, clues, answers)
    words = _Words(clues)
    weight = row.factor * (sum(one.weight for one in speaking) - sum(one.weight for one in against))
    return Cause(
        id=row.id,
        text=row.text,
        weight=weight,
        evidence_for=tuple(one.sentence(words) for one in speaking),
        evidence_against=tuple(one.sentence(words) for one in against),
        first_check=row.first_check,
        cost=row.cost,
    )


class _Words:
    """Limits in force by name, and what a sentence may name of the departure."""

    def __init__(self, clues: Clues) -> None:
        self._limits = clues.tables
        self._found = {} if clues.explained is None else clues.explained.words

    def __getitem__(self, name: str, /) -> float | str:
        return self._found[name] if name in self._found else self._limits[name]


def _found(rows: Sequence[Clue], clues: Clues, answers: dict[str, Answer]) -> tuple[Clue, ...]:
    """The clues that answer yes; each is worked out once."""
    return tuple(one for one in rows if _answer(one.name, clues, answers))


def _answer(name: str, clues: Clues, answers: dict[str, Answer]) -> Answer:
    if name not in answers:
        answers[name] = clue(name)(clues)
    return answers[name]
