"""Work in several processes: tasks handed out one by one, results as they come, and a stop within one task.

Processes are begun anew ("spawn"), so that what runs in them starts from the arguments alone.
"""

import contextlib
import os
import signal
import sys
from collections.abc import Callable, Iterable, Iterator
from types import TracebackType
from typing import TYPE_CHECKING, Any, Final, Self, TypeVar

if TYPE_CHECKING:
    from concurrent.futures import Future

T = TypeVar("T", bound=tuple[Any, ...])
R = TypeVar("R")

_PAUSE: Final = 0.1  # seconds between two looks at whether to go on
_YIELDING: Final = 5  # what the processes give way by to a page that is open beside them
_HELD: Final = 28_000_000  # bytes: below the 32 MB from which on the allocator never learns


class Broken(RuntimeError):
    """A process could not begin, or was ended from outside."""


def processors() -> int:
    """How many processes may run at once here."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def keep_memory() -> None:
    """Lets this process keep what it frees, up to twice `_HELD`, for the next array of thousands of draws.

    The allocator of Linux hands large blocks back to the system at once and has each page cleared again for
    the next: a sixth of the time of a comparison. It learns from the largest block that was ever freed. Where
    another allocator serves, nothing happens.
    """
    bytes(_HELD)


class Processes:
    """Several processes, begun with the first task; left, they are all ended."""

    def __init__(self, count: int, begin: Callable[..., None] | None = None, *args: Any) -> None:
        """`begin(*args)` runs first in each of them; it and all tasks are functions of a module."""
        # 60 ms, and most commands do their work alone
        from concurrent.futures import ProcessPoolExecutor
        from multiprocessing import get_context

        self._count = count
        # Python hands the file of its error output to a process that minds the others; where a screen has put
        # something without a file in its place, none would start.
        with contextlib.redirect_stderr(sys.__stderr__):
            self._pool = ProcessPoolExecutor(count, get_context("spawn"), _begun, (begin, args))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._pool.shutdown(wait=True, cancel_futures=True)

    def each(
        self, function: Callable[..., R], tasks: Iterable[T], go_on: Callable[[], None]
    ) -> Iterator[tuple[T, R]]:
        """Every task with what `function(*task)` made of it, in the order in which they end.

        `go_on` is called ten times a second and may raise to stop: no further task is begun then. Raises
        what a task raised, and Broken.
        """
        from concurrent.futures import FIRST_COMPLETED, wait
        from concurrent.futures.process import BrokenProcessPool

        left = iter(tasks)
        running: dict[Future[R], T] = {}
        while True:
            # No more than there are processes: what waits in their line could not be taken back.
            while len(running) < self._count and (task := next(left, None)) is not None:
                try:
                    running[self._pool.submit(function, *task)] = task
                except BrokenProcessPool as broken:
                    raise Broken from broken
            if not running:
                return
            go_on()
            ended, _ = wait(running, timeout=_PAUSE, return_when=FIRST_COMPLETED)
            for future in ended:
                try:
                    result = future.result()
                except BrokenProcessPool as broken:
                    raise Broken from broken
                yield running.pop(future), result


def _begun(begin: Callable[..., None] | None, args: tuple[Any, ...]) -> None:
    """A key that stops the program is the business of its first process, which then stops the others."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(AttributeError, OSError):
        os.nice(_YIELDING)
    keep_memory()
    if begin is not None:
        begin(*args)
