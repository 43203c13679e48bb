"""Likely causes: evidence for and against, weighed; a suspicion, never more.

They are looked for only where something is wrong, at most three are told, and none on circumstance alone.
"""

from collections.abc import Callable, Sequence
from types import ModuleType
from typing import Final

from evaluation.judgement.clues import colours, eye, fit, greys, paper, readings, said, shadows
from evaluation.judgement.clues.facts import Answer, Clues, is_wrong
from evaluation.judgement.opinion import Cause, Finding
from evaluation.judgement.rows import CauseRow, Clue
from evaluation.judgement.tables import Tables

MODULES: Final[tuple[ModuleType, ...]] = (fit, greys, shadows, colours, paper, readings, said, eye)


def looked_for(findings: Sequence[Finding], tables: Tables) -> bool:
    """Whether anything is wrong: a grade of eye or instrument below the limit, or a pair that disagrees."""
    shown = [finding for finding in findings if finding.agreement not in ("not looked", "none")]
    return any(is_wrong(finding, tables) for finding in shown)


def likely(clues: Clues) -> tuple[Cause, ...]:
    """At most three causes, the heaviest first; none where nothing is wrong."""
    tables = clues.tables
    if not looked_for(tuple(clues.findings.values()), tables):
        return ()
    answers: dict[str, Answer] = {}  # several causes ask the same clue
    weighed = [_weighed(row, clues, answers) for row in tables.causes]
    standing = [cause for cause in weighed if cause is not None and cause.weight >= tables["cause_least"]]
    # Of equal weight, the one with less against it first.
    standing.sort(key=lambda cause: (-cause.weight, len(cause.evidence_against)))
    return tuple(standing[: int(tables["cause_most"])])


def clue(name: str) -> Callable[[Clues], Answer]:
    """The clue of that name. Raises KeyError."""
    for module in MODULES:
        found: Callable[[Clues], Answer] | None = getattr(module, name, None)
        if found is not None and found.__module__ == module.__name__ and not name.startswith("_"):
            return found
    raise KeyError(name)


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
        evidence_for=tuple(one.say for one in speaking),
        evidence_against=tuple(one.say for one in against),
        first_check=row.first_check,
        cost=row.cost,
    )


def _found(rows: Sequence[Clue], clues: Clues, answers: dict[str, Answer]) -> tuple[Clue, ...]:
    """The clues that answer yes; each is asked once."""
    for one in rows:
        if one.name not in answers:
            answers[one.name] = clue(one.name)(clues)
    return tuple(one for one in rows if answers[one.name])
