"""Tasks in several processes: functions of the standard library, so that a process begins quickly."""

import io
import math
import os
import sys
import time
from multiprocessing import resource_tracker

import pytest

from evaluation.processes import Broken, Processes, processors


def test_every_task_comes_back_with_its_own_result_and_others_did_the_work() -> None:
    assert processors() >= 1
    tasks = [(number,) for number in range(12)]
    with Processes(2) as both:
        found = dict(both.each(math.factorial, tasks, lambda: None))
        mine = {pid for _, pid in both.each(os.getpid, [()] * 4, lambda: None)}
    assert found == {(number,): math.factorial(number) for number in range(12)}
    assert os.getpid() not in mine and len(mine) <= 2
    with pytest.raises(RuntimeError):  # left: ended
        next(both.each(os.getpid, [()], lambda: None))


def test_tasks_are_begun_one_by_one_and_a_stop_begins_no_further() -> None:
    begun: list[int] = []

    def handed() -> object:
        for number in range(50):
            begun.append(number)
            yield (0.2,)

    def go_on() -> None:
        if len(begun) > 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt), Processes(2) as both:
        for _ in both.each(time.sleep, handed(), go_on):  # type: ignore[arg-type]
            pass
    assert len(begun) in (3, 4), "one more for each process that ended by the same look"


def test_a_process_that_is_ended_from_outside_is_told() -> None:
    with pytest.raises(Broken), Processes(1) as one:
        list(one.each(os._exit, [(3,)], lambda: None))


def test_processes_start_inside_a_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    class Screen(io.StringIO):
        """What a screen library puts in the place of the error output."""

        def fileno(self) -> int:
            return -1

    resource_tracker._resource_tracker._stop()  # so that it starts here, as on the first sheet of a program
    monkeypatch.setattr(sys, "stderr", Screen())
    with Processes(1):
        pass
