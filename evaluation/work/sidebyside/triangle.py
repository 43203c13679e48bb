"""The triangle test of two prints: drawn, and told by how many were right. Nothing of it is kept."""

from collections.abc import Sequence
from random import Random, SystemRandom

from evaluation.errors import UsageProblem
from evaluation.judgement.beside.triangle import least_right, order
from evaluation.work.bench import Bench
from evaluation.work.sidebyside.sidebyside import NOT_DRAWN, prints_of

FEWEST, MOST = 5, 60


def drawn(
    bench: Bench, ids: Sequence[int], triangles: int, random: Random | None = None
) -> tuple[tuple[int, int, int], ...]:
    """What lies left, middle and right in each triangle, by session.

    Raises UsageProblem for other than two like prints, and for a number of triangles that can show nothing.
    """
    if len(ids) != 2:
        raise UsageProblem(NOT_DRAWN, expected="two prints for a triangle", found=str(len(ids)))
    prints_of(bench, ids)
    _refuse(triangles)
    return order(triangles, ids[0], ids[1], random or SystemRandom())


def refuse_answers(triangles: int, right: int) -> None:
    """Raise UsageProblem for more right answers than triangles, or a number that can show nothing."""
    _refuse(triangles)
    if not 0 <= right <= triangles:
        raise UsageProblem("Nothing was worked out.", expected=f"0 to {triangles} right", found=str(right))


def _refuse(triangles: int) -> None:
    if not FEWEST <= triangles <= MOST or least_right(triangles) > triangles:
        raise UsageProblem(NOT_DRAWN, expected=f"{FEWEST} to {MOST} triangles", found=str(triangles))
