"""Slow work of a screen, in threads: only messages come back, and what went wrong is told in one window."""

from collections.abc import Callable
from functools import partial
from typing import Any

from rich.cells import cell_len
from textual.screen import Screen
from textual.worker import Worker, WorkerState

from evaluation.errors import DrydownError
from evaluation.system_words import unread
from evaluation.work.bench import Bench
from tui import last_resort
from tui.desk import Desk
from tui.messages import Done, Failed, Progress

Job = Callable[[Bench, Callable[[str], None]], Any]


class Working(Screen[None]):
    """Starts jobs and takes what they bring. `said` is the line above the keys."""

    def __init__(self) -> None:
        super().__init__()
        self.said = ""  # the last thing saved, undone or refused
        self._hint = ""  # of that, a hint or a refusal: it goes with the next key
        self.ticket = 0

    @property
    def desk(self) -> Desk:
        """The app, as far as a page knows it."""
        return self.app  # type: ignore[return-value]

    def refresh_foot(self) -> None:
        """Draw the two last lines again."""

    def tell(self, sentence: str) -> None:
        """Put a sentence above the keys, until the cursor moves or a line is opened."""
        self.said = self._hint = sentence
        self.refresh_foot()

    def hint_goes(self) -> None:
        """What was told is over; what was saved or undone stays to be read."""
        if self._hint and self.said == self._hint:
            self.tell("")

    def attempt(self, act: Callable[[], object]) -> bool:
        """Do what may be refused; a refusal is told above the keys, or in the window if it is long."""
        try:
            act()
        except DrydownError as problem:
            self.refused(problem)
            return False
        return True

    def refused(self, problem: DrydownError) -> None:
        if self.fits(problem.sentence):
            self.tell(problem.sentence)
        else:
            self.show_problem(problem)

    def fits(self, sentence: str) -> bool:
        """Whether a sentence can be told in the line above the keys."""
        return cell_len(sentence) <= self.size.width - 2

    def start_job(self, name: str, work: Job) -> None:
        """Do slow work in a thread with a connection of its own; only messages come back."""
        self.ticket += 1
        self.run_worker(
            partial(self._job, name, work, self.ticket),
            name=name,
            group=name,
            description=name,
            exit_on_error=False,
            exclusive=True,
            thread=True,
        )

    def _job(self, name: str, work: Job, ticket: int) -> None:
        try:
            with self.desk.own_bench() as bench:
                value = work(bench, self._progress)
        except DrydownError as problem:
            self.post_message(Failed(name, problem, ticket))
        else:
            self.post_message(Done(name, value, ticket))

    def _progress(self, words: str) -> None:
        self.post_message(Progress(words))

    def on_progress(self, event: Progress) -> None:
        self.tell(event.words)

    def on_done(self, event: Done) -> None:
        """Only the newest job is waited for; an answer to an older one comes too late to matter."""
        if event.ticket == self.ticket:
            self.done(event.job, event.value)

    def on_failed(self, event: Failed) -> None:
        if event.ticket == self.ticket:
            self.failed(event.job, event.problem)

    def done(self, job: str, value: Any) -> None:
        """A job ended with a value."""

    def failed(self, job: str, problem: DrydownError) -> None:
        """A job ended with a problem; nothing was kept."""
        self.tell("")
        self.show_problem(problem)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """A job stopped on an unexpected fault: it is told in the same window, and the app lives."""
        if event.state is WorkerState.ERROR:
            self.tell("")
            self.show_problem(unforeseen(event.worker.name, event.worker.error))

    def show_problem(self, problem: DrydownError) -> None:
        from tui.screens.base.problem import ProblemWindow

        self.app.push_screen(ProblemWindow(problem))


def unforeseen(job: str, error: BaseException | None) -> DrydownError:
    """The sentence for a job that stopped on an unexpected fault, with the log that holds the details.

    Refusals of the system are put into our words.
    """
    if isinstance(error, OSError):
        found, remedy = unread(error)
        what = f"“{job}” did not finish; what was saved before stays."
        return DrydownError(what, where=str(error.filename or ""), found=found, remedy=remedy)
    what = f"“{job}” stopped on an unexpected fault; what was saved before stays."
    return last_resort.unforeseen(error or RuntimeError(job), [job], what)
