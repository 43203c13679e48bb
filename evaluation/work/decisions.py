"""The limits of a verdict as a person's own decisions draw them: prints accepted, with remarks, or refused.

Four limits are policy: from which grade of a key region, and from which weighted mean, a print is accepted;
below which of either it is refused. They are fitted to decisions on prints that were weighed before.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import product
from typing import Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

from evaluation.archive import sessions
from evaluation.documents import settings as shape
from evaluation.errors import UsageProblem
from evaluation.judgement.opinion import Finding, Weighing
from evaluation.judgement.table_rows import Weights
from evaluation.judgement.tables import Tables
from evaluation.plain_text import quoted
from evaluation.work.bench import Bench
from evaluation.work.weigh import weigh

Array = NDArray[np.float64]
Decision = Literal["accepted", "with remarks", "refused"]
DECISIONS: Final[tuple[Decision, ...]] = get_args(Decision)
LIMITS: Final = ("accepted_key", "accepted_mean", "refused_key", "refused_mean")
LEAST: Final = 20  # decisions
_TRIED: Final = np.array(list(product(np.arange(1.5, 4.76, 0.25), repeat=2)))  # pairs of limits
_AGAIN: Final = 100  # fits to decisions drawn anew, for the spread
_SEED: Final = 1987


@dataclass(frozen=True, slots=True)
class Fitted:
    """The four limits with their spreads, how many decisions they are from, and how many they give back.

    left_out  numbers of the sessions that have a decision, but no grade in some key region
    """

    limits: Mapping[str, float]
    spreads: Mapping[str, float]
    decisions: int
    given_back: int
    left_out: tuple[int, ...] = ()

    def toml(self, name: str, made: date) -> str:
        """As lines of weighing.toml; `name` is that of the file of decisions."""
        head = (
            f"# Fitted on {made.isoformat()} to {self.decisions} decisions in {quoted(name)}: "
            f"the limits agree with {self.given_back} of them."
        )
        rows = [f"{name} = {self.limits[name]:g}  # ± {self.spreads[name]:.2f}" for name in LIMITS]
        return "\n".join([head, "[thresholds]", *rows]) + "\n"


def stated(lines: Sequence[str], where: str) -> list[tuple[str, Decision]]:
    """Sessions and decisions of a file, "12, accepted" a line; # begins a remark. Raises UsageProblem."""
    found: list[tuple[str, Decision]] = []
    for number, line in enumerate(lines, 1):
        text = line.partition("#")[0].strip()
        if not text:
            continue
        session, _, word = (part.strip().casefold() for part in text.partition(","))
        if word not in DECISIONS or not session:
            raise UsageProblem(
                "Nothing was fitted.",
                where=f"{where}, line {number}",
                expected="a session and its decision, as “12, accepted”, “12, with remarks” or “12, refused”",
                found=quoted(text),
                remedy="Correct the line.",
            )
        found.append((session, word))
    return found


def fitted(bench: Bench, decisions: Sequence[tuple[int, Decision]]) -> Fitted:
    """The limits that give back most decisions, the nearest to those in force of several.

    Each print counts once, by the grades of the use it is made for. Raises UsageProblem for a print that is
    decided on twice, and for fewer than twenty that have a verdict.
    """
    _once(decisions)
    in_force = weigh.tables(bench)
    points, words, left_out = [], [], []
    for number, word in decisions:
        session = sessions.load(bench.archive, number)
        point = _point(weigh.weigh(bench, number), in_force.uses[session.condition.made_for or "general"])
        if point is None:
            left_out.append(number)
        else:
            points.append(point)
            words.append(word)
    if len(points) < LEAST or len(set(words)) < 2:
        raise UsageProblem(
            "These decisions do not draw a limit.",
            expected=f"{LEAST} or more, accepted and refused, on prints whose key regions are graded",
            found=f"{len(points)} ({', '.join(sorted(set(words)))})" if points else "none",
            remedy="Decide on more prints.",
        )
    return replace(fit(np.array(points), words, in_force), left_out=tuple(left_out))


def _once(decisions: Sequence[tuple[int, Decision]]) -> None:
    """Two decisions on one print would count as two prints, and the spread come out too small."""
    said: dict[int, Decision] = {}
    for number, word in decisions:
        if number in said:
            raise UsageProblem(
                "Nothing was fitted.",
                where=f"session {number}",
                expected="one decision for each print",
                found=f"{said[number]} and {word}" if said[number] != word else f"{word}, twice",
                remedy="Keep the line that counts, and delete the other.",
            )
        said[number] = word


def fit(points: Array, words: Sequence[Decision], tables: Tables) -> Fitted:
    """The four limits; `points` (n, 2): the lowest key region and the weighted mean of each print, 5 to 1."""
    decided = np.array([DECISIONS.index(word) for word in words])
    limits = _limits(points, decided, tables)
    rng = np.random.default_rng(_SEED)
    again = []
    for _ in range(_AGAIN):
        rows = rng.integers(0, len(points), len(points))
        again.append(_limits(points[rows], decided[rows], tables, rng))
    refused = (points < limits[2:]).any(axis=1)
    accepted = ~refused & (points >= limits[:2]).all(axis=1)
    given = np.where(refused, 2, np.where(accepted, 0, 1))
    spreads = np.std(again, axis=0)
    return Fitted(
        dict(zip(LIMITS, limits.tolist(), strict=True)),
        dict(zip(LIMITS, spreads.tolist(), strict=True)),
        len(points),
        int((given == decided).sum()),
    )


def _limits(
    points: Array, decided: NDArray[np.int_], tables: Tables, rng: np.random.Generator | None = None
) -> Array:
    """(4,) in the order of LIMITS: those of acceptance, then those of refusal, no higher."""
    above = points[None] >= _TRIED[:, None]  # limits, prints, key region and mean
    accepted = _best(above.all(axis=2) == (decided == 0), tables, LIMITS[:2], rng)
    right = ~above.all(axis=2) == (decided == DECISIONS.index("refused"))
    refused = _best(right, tables, LIMITS[2:], rng)
    return np.concatenate([accepted, np.minimum(refused, accepted)])


def _best(
    right: NDArray[np.bool_], tables: Tables, names: Sequence[str], rng: np.random.Generator | None
) -> Array:
    """The limits with most decisions right (limits, prints), of several the nearest to those in force.

    With `rng` any of several: the spread holds what the decisions leave open, and is never 0 for want of a
    print between two limits.
    """
    here = np.array([tables[name] for name in names])
    far = np.abs(_TRIED - here).sum(axis=1) if rng is None else rng.random(len(_TRIED))
    found: Array = _TRIED[np.lexsort((far, -right.sum(axis=1)))[0]]
    return found


def _point(weighing: Weighing, weights: Weights) -> tuple[float, float] | None:
    """The lowest key region and the weighted mean of a print; None where a key region has no grade."""
    graded = [(one, grade) for one in weighing.findings if (grade := _grade(one)) is not None]
    key = [grade for one, grade in graded if one.kind in weights.key]
    if {one.kind for one, _ in graded} < set(weights.key) or not key:
        return None
    share = np.array([weights.weights.get(one.kind, 0.0) for one, _ in graded])
    return min(key), float(share @ np.array([grade for _, grade in graded]) / share.sum())


def _grade(finding: Finding) -> float | None:
    said = finding.combined or finding.eye
    return None if said is None else said.grade


def document(found: Fitted, name: str, made: date) -> shape.FromDecisions:
    """The limits as plain values, and as text for weighing.toml."""
    return {
        "name": name,
        "made": made.isoformat(),
        "decisions": found.decisions,
        "given_back": found.given_back,
        "left_out": list(found.left_out),
        "limits": {name: round(value, 3) for name, value in found.limits.items()},
        "spreads": {name: round(value, 3) for name, value in found.spreads.items()},
        "toml": found.toml(name, made),
    }
