"""The triangle test of two prints in a region: drawn, answered one by one, added up over observers."""

from collections.abc import Sequence
from pathlib import Path
from random import Random, SystemRandom
from typing import Final

from evaluation.archive import triangles
from evaluation.errors import UsageProblem
from evaluation.judgement.beside.triangle import least_right, order
from evaluation.plain_text import lower_first
from evaluation.rounds import Odd, Triangles
from evaluation.work.bench import Bench
from evaluation.work.log import refuse_read_only
from evaluation.work.onto_disk import put
from evaluation.work.sidebyside import pages
from evaluation.work.sidebyside.sidebyside import NOT_DRAWN, papers, prints_of, regions_of

FEWEST: Final = 5
MOST: Final = 60


def drawn(
    bench: Bench, ids: Sequence[int], count: int, random: Random | None = None
) -> tuple[tuple[int, int, int], ...]:
    """What lies left, middle and right in each of `count` triangles, by session; nothing is kept.

    Raises UsageProblem for other than two like prints, and for a number of triangles that can show nothing.
    """
    if len(ids) != 2:
        raise UsageProblem(NOT_DRAWN, expected="two prints for a triangle", found=str(len(ids)))
    prints_of(bench, ids)
    _refuse(count)
    return order(count, ids[0], ids[1], random or SystemRandom())


def begin(
    bench: Bench,
    ids: Sequence[int],
    *,
    observer: str,
    region: str,
    count: int,
    random: Random | None = None,
) -> Triangles:
    """Draw triangles for an observer in a region and keep them.

    Raises UsageProblem as `drawn`, for an unknown region, and where the observer has a test open there.
    """
    refuse_read_only(bench)
    shown = drawn(bench, ids, count, random)
    (place,) = regions_of(bench, prints_of(bench, ids), (region,))
    with bench.archive.joined():
        for one in waiting(bench, ids):
            if (one.observer, one.region) == (observer, region):
                raise UsageProblem(
                    NOT_DRAWN,
                    expected=f"the triangles in {lower_first(place.title)} to be ended first",
                    found=f"{observer} has {len(one.answers)} of {len(one.shown)} answered",
                )
        return triangles.begin(
            bench.archive,
            observer=observer,
            region=region,
            prints=(ids[0], ids[1]),
            shown=shown,
            now=bench.now(),
        )


def waiting(bench: Bench, ids: Sequence[int]) -> tuple[Triangles, ...]:
    """Those of exactly these two prints that wait for answers."""
    return tuple(one for one in triangles.among(bench.archive, ids) if one.is_open)


def answer(bench: Bench, one: Triangles, named: Odd) -> Triangles:
    """Keep which sheet was named as the odd one. Raises UsageProblem when all are answered."""
    if one.next is None:
        raise UsageProblem("No answer was taken.", found=f"test {one.id}, which has all of its answers")
    return triangles.name_odd(bench.archive, one.id, one.next, named, bench.now())


def take_back(bench: Bench, one: Triangles) -> Triangles:
    """Take back the last answer of a test that still waits for some; unchanged where there is none."""
    if not one.is_open or not one.answers:
        return one
    return triangles.name_odd(bench.archive, one.id, max(one.answers), None, bench.now())


def write_page(bench: Bench, one: Triangles, title: str, path: Path) -> None:
    """Write what lies where, for whoever lays the sheets. Raises UsageProblem for a name that will not do."""
    pages.refuse(path, overwrite=False)
    put(path, pages.triangles(one, title, papers(bench, one.prints)), pages.NO_PAGES)


def refuse_answers(count: int, right: int) -> None:
    """Raise UsageProblem for more right answers than triangles, or a number that can show nothing."""
    _refuse(count)
    if not 0 <= right <= count:
        raise UsageProblem("Nothing was worked out.", expected=f"0 to {count} right", found=str(right))


def _refuse(count: int) -> None:
    if not FEWEST <= count <= MOST or least_right(count) > count:
        raise UsageProblem(NOT_DRAWN, expected=f"{FEWEST} to {MOST} triangles", found=str(count))
