"""Likely causes: evidence for and against, weighed; a suspicion, never more.

They are looked for where something is wrong or the print differs measurably from what it should be. At most
`cause_most` are shown, and circumstances alone never make one.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from types import ModuleType
from typing import Final

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
)
from evaluation.judgement.clues.departs import ALONE, print_off
from evaluation.judgement.clues.facts import Answer, Clues, is_wrong, with_hypotheses
from evaluation.judgement.opinion import Cause, Finding
from evaluation.judgement.rows import CauseRow, Clue
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
    weighed = [_weighed(row, clues, answers) for row in rows]
    standing = [cause for cause in weighed if cause is not None and cause.weight >= tables["cause_least"]]
    # Of equal weight, the one with less against it first.
    standing.sort(key=lambda cause: (-cause.weight, len(cause.evidence_against)))
    shown = standing[: int(tables["cause_most"])]
    if wrong:
        return tuple(shown)
    return tuple(_calm(cause, tables) for cause in shown)


def _calm(cause: Cause, tables: Tables) -> Cause:
    """A suspicion on a print that nobody faults. Its text says so first: the end of a line may be cut off."""
    calm = _CALM.format(limit=tables["cause_below"])
    return replace(
        cause,
        text=f"{cause.text} ({_HARDLY_VISIBLE})",
        evidence_against=(calm, *cause.evidence_against),
    )


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
    weight = row.factor * (sum(one.weight for one in speaking) - sum(one.weight for one in against))
    return Cause(
        id=row.id,
        text=row.text,
        weight=weight,
        evidence_for=tuple(one.sentence(clues.tables) for one in speaking),
        evidence_against=tuple(one.sentence(clues.tables) for one in against),
        first_check=row.first_check,
        cost=row.cost,
    )


def _found(rows: Sequence[Clue], clues: Clues, answers: dict[str, Answer]) -> tuple[Clue, ...]:
    """The clues that answer yes; each is worked out once."""
    return tuple(one for one in rows if _answer(one.name, clues, answers))


def _answer(name: str, clues: Clues, answers: dict[str, Answer]) -> Answer:
    if name not in answers:
        answers[name] = clue(name)(clues)
    return answers[name]
