"""Weighed and compared by others: the same bytes as by this process alone, whoever ends first or fails."""

import shutil
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import Archive, open_archive
from evaluation.processes import Broken
from evaluation.session import Grade
from evaluation.work.bench import Bench
from evaluation.work.compare import compare, workers
from evaluation.work.look import look
from tests.cases import some_now

TWO = (1, 4)


class Here:
    """Stands for `Processes`: tasks are done in this process, by a bench of its own; after `fails_after`
    of them all processes are gone.
    """

    fails_after = 10**9
    done: list[tuple[Any, ...]]

    def __init__(self, count: int, begin: Callable[..., None], *args: Any) -> None:
        Here.done = []
        begin(*args)

    def __exit__(self, *_: object) -> None:
        workers._here[0].archive.close()
        workers._bringer.cache_clear()

    def each(
        self, function: Callable[..., Any], tasks: Iterable[Any], go_on: Callable[[], None]
    ) -> Iterator[Any]:
        for task in tasks:
            go_on()
            if len(Here.done) >= Here.fails_after:
                raise Broken
            Here.done.append(task)
            yield task, function(*task)


@pytest.fixture
def archive(compared_archive: Path, tmp_path: Path) -> Iterator[Archive]:
    with open_archive(shutil.copy(compared_archive, tmp_path / "compared.db")) as one:
        yield one


@pytest.fixture
def others(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two processors, and nothing too little for both."""
    monkeypatch.setattr(workers, "FEWEST", 1)
    monkeypatch.setattr(workers, "processors", lambda: 2)
    monkeypatch.setattr(workers, "Processes", Here)
    monkeypatch.setattr(Here, "fails_after", 10**9)


def kept(archive: Archive) -> list[tuple[Any, ...]]:
    return [
        *archive.rows("SELECT session, settings, inputs, result, sum FROM weighing ORDER BY 1, 2"),
        *archive.rows("SELECT a, b, settings, inputs, result, sum FROM comparison ORDER BY 1, 2, 3"),
    ]


def forgotten(archive: Archive) -> None:
    with archive.transaction() as connection:
        connection.execute("DELETE FROM weighing WHERE session IN (1, 4)")
        connection.execute("DELETE FROM comparison WHERE a IN (1, 4) AND b IN (1, 4)")


@pytest.mark.usefixtures("others")
@pytest.mark.parametrize("fails_after", some_now([10**9, 1, 2], 1))
def test_others_find_the_same_bytes_and_this_process_finishes_what_they_leave(
    archive: Archive, monkeypatch: pytest.MonkeyPatch, fails_after: int
) -> None:
    """What the archive of the tests holds was worked out by one process."""
    bench = Bench(archive)
    compare.worked_out(bench, TWO)
    before = kept(archive)
    forgotten(archive)
    monkeypatch.setattr(Here, "fails_after", fails_after)
    told: list[str] = []
    matrix = compare.worked_out(bench, TWO, tell=told.append)
    assert len(Here.done) == min(3, fails_after)
    assert [words.partition(".")[0] for words in told] == [
        "Weighing session 1, 1 of 2", "Weighing session 4, 2 of 2", "Comparing 1 and 4, 1 of 1",
    ]  # fmt: skip
    assert kept(archive) == before
    assert matrix == compare.at_once(bench, TWO)


@pytest.mark.long
@pytest.mark.usefixtures("others")
def test_what_was_said_meanwhile_is_not_in_what_is_kept(
    archive: Archive, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program says something after this one weighed, and before the others compare: what is kept of
    the session as it stood is not theirs.
    """
    bench = Bench(archive)
    compare.worked_out(bench, TWO)
    before = kept(archive)
    forgotten(archive)
    own = workers._compared

    def late(each: Any, ids: Any) -> Any:
        look.start(workers._here[0], 4, kind="quick")
        look.answer(workers._here[0], 4, "skin", "overall", Grade(2))
        return own(each, ids)

    monkeypatch.setattr(workers, "_compared", late)
    compare.worked_out(bench, TWO)
    assert kept(archive) == before
    fresh = compare.at_once(bench, TWO)
    assert fresh.unweighed == (4,) and fresh.missing == ((1, 4),)


@pytest.mark.long
def test_a_few_are_done_by_this_process(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    forgotten(archive)
    monkeypatch.setattr(workers, "Processes", lambda *_: pytest.fail("a process was begun"))
    monkeypatch.setattr(workers, "processors", lambda: 2)
    assert compare.worked_out(Bench(archive), TWO).missing == ()


@pytest.mark.long
def test_processes_find_what_one_finds(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    bench = Bench(archive)
    compare.worked_out(bench, TWO)
    before = kept(archive)
    forgotten(archive)
    monkeypatch.setattr(workers, "FEWEST", 1)
    monkeypatch.setattr(workers, "processors", lambda: 2)
    compare.worked_out(bench, TWO)
    assert kept(archive) == before
