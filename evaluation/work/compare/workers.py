"""Who weighs and compares: this process alone or, where there is much to do, several beside each other.

The others read the archive and write nothing. What they find comes back as the text that is kept, and the
process that asked keeps it: there is one writer, and the same bytes whoever worked them out.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from itertools import chain
from pathlib import Path
from types import TracebackType
from typing import Any, Final, Self, TypeVar

from evaluation.archive.connection import open_archive
from evaluation.judgement import codec
from evaluation.judgement.matrix import ComparedSession, Pair
from evaluation.judgement.opinion import Weighing
from evaluation.judgement.tables import Tables
from evaluation.judgement.two_prints import Difference
from evaluation.processes import Broken, Processes, keep_memory, processors
from evaluation.work.bench import Bench
from evaluation.work.compare.pairs import Bringer
from evaluation.work.compare.subjects import subject_of
from evaluation.work.weigh import weigh
from evaluation.work.weigh.inputs import inputs_of

# Weighings and comparisons below which others cost more than they save: each of them begins in a second.
FEWEST: Final = 24

Differences = tuple[Difference, ...]
GoOn = Callable[[], None]  # may raise to stop
T = TypeVar("T")


class Hands:
    """One process, or several where `tasks` are many. Tasks are taken from what is handed over one by one, as
    they are begun; results come in the order in which they end.
    """

    def __init__(self, bench: Bench, in_force: Tables, tasks: int) -> None:
        self._bench, self._tables = bench, in_force
        keep_memory()
        archive, count = bench.archive, min(processors(), tasks)
        alone = count < 2 or tasks < FEWEST or archive.read_only or archive.connection.in_transaction
        self._others = None if alone else Processes(count, _begin, archive.path, bench.settings_text)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._others is not None:
            self._others.__exit__(kind, error, trace)

    def weighings(self, ids: Iterable[int], go_on: GoOn) -> Iterator[tuple[int, Weighing]]:
        """Each session weighed, and its weighing kept."""
        left: list[int] = []
        for one, text in self._by_others(_weighed, ids, (), left, go_on):
            weighing = codec.decoded(Weighing, text)
            weigh.put(self._bench, weighing, self._tables)
            yield one, weighing
        for one in chain(left, ids):
            yield one, weigh.weigh(self._bench, one)

    def comparisons(
        self, pairs: Iterable[Pair], subjects: Sequence[ComparedSession], go_on: GoOn
    ) -> Iterator[tuple[Pair, Differences]]:
        """Each pair of the subjects compared, and that kept."""
        bringer = Bringer(self._bench, subjects, self._tables)
        left: list[Pair] = []
        ids = tuple(subject.session.id for subject in subjects)
        for each, (inputs, text) in self._by_others(_compared, pairs, (ids,), left, go_on):
            if inputs == bringer.inputs(each):
                bringer.keep(each, text)
                yield each, codec.decoded(Differences, text)
            else:  # something was said meanwhile
                yield each, bringer.compared(each)
        for each in chain(left, pairs):
            yield each, bringer.compared(each)

    def _by_others(
        self,
        function: Callable[..., Any],
        tasks: Iterable[T],
        more: tuple[Any, ...],
        left: list[T],
        go_on: GoOn,
    ) -> Iterator[tuple[T, Any]]:
        """Each task with what others made of it; `left` holds those begun and not ended if they fail."""
        if self._others is None:
            return

        def handed() -> Iterator[tuple[Any, ...]]:
            for task in tasks:
                left.append(task)
                yield task, *more

        try:
            for (task, *_), made in self._others.each(function, handed(), go_on):
                left.remove(task)
                yield task, made
        except Broken:  # too little memory, or one was ended from outside: this process goes on alone
            self._others = None


_here: list[Bench] = []  # of a process that works for another


def _begin(path: Path, settings_text: str | None) -> None:
    _here[:] = [Bench(open_archive(path), settings_text)]


def _weighed(session_id: int) -> str:
    (bench,) = _here
    return codec.encoded(weigh.worked_out(bench, session_id))


def _compared(each: Pair, ids: tuple[int, ...]) -> tuple[str, str]:
    """What the comparison rests on, as a digest, and its text."""
    bringer = _bringer(ids)
    return bringer.inputs(each), codec.encoded(bringer.worked_out(each))


@cache
def _bringer(ids: tuple[int, ...]) -> Bringer:
    (bench,) = _here
    in_force = weigh.tables(bench)
    rests_on = inputs_of(bench, in_force)
    return Bringer(bench, [subject_of(bench, one, rests_on) for one in ids], in_force)
