"""A page with work that takes a while: a bar that says how far it is, and Esc stops it."""

from collections.abc import Callable
from threading import Event
from typing import Any, Final

from textual.widgets import ProgressBar
from textual.worker import Worker, WorkerState

from evaluation.errors import Cancelled, DrydownError
from evaluation.work.bench import Bench
from tui.messages import Progress
from tui.screens.base.page import Page

Tell = Callable[[int, int, str], None]  # done, in all, what is being done; raises Cancelled to stop
SOON: Final = 0.5  # seconds that one waits without a bar
Work = Callable[[Bench, Tell], Any]


class SlowPage(Page):
    """Subclasses yield a `ProgressBar` in their `body`, and take what the work brings in `done`."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.stopping: Event | None = None  # set to stop the work that is under way

    @property
    def busy(self) -> bool:
        return self.stopping is not None

    def start_slow(self, name: str, words: str, work: Work, stopped: str, *, after: float = 0.0) -> None:
        """Begin work in a thread. `words` say what it is, "" leaves the line above the keys as it stands;
        `stopped` is told when it was stopped.

        `after` so many seconds the bar shows, for work that is mostly over before. Work that is under way
        already is stopped, and what it brings is not waited for.
        """
        if self.stopping is not None:
            self.stopping.set()
        self.stopping = stopping = Event()
        self.query_one(ProgressBar).update(total=None)

        def tell(done: int, parts: int, about: str) -> None:
            if stopping.is_set():
                raise Cancelled(stopped)
            self.post_message(Progress(f"{words}: {about}. Esc stops." if words else "", done, parts))

        def job(bench: Bench, _tell: object) -> Any:
            return work(bench, tell)

        if words:
            self.said = f"{words}. Esc stops."
        self.start_job(name, job)
        if after:
            self.set_timer(after, self.show_bar)
        else:
            self.show_bar()
        self.refresh_page()

    def stop(self) -> None:
        """Ask the work to stop; it does at its next step."""
        if self.stopping is not None:
            self.stopping.set()
            self.tell("Stopping.")

    def show_bar(self) -> None:
        self.query_one(ProgressBar).display = self.busy

    def on_progress(self, event: Progress) -> None:
        event.prevent_default()  # said here, and drawn
        if event.parts and self.stopping is not None and not self.stopping.is_set():
            self.query_one(ProgressBar).update(total=event.parts, progress=event.done)
            if event.words:
                self.tell(event.words)

    def ended(self) -> None:
        """The work is over, one way or the other."""
        self.stopping = None
        self.show_bar()

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR:
            self.ended()

    def done(self, job: str, value: Any) -> None:
        self.ended()

    def failed(self, job: str, problem: DrydownError) -> None:
        self.ended()
        self.refresh_page()
        if isinstance(problem, Cancelled):
            self.tell(problem.sentence)
        else:
            self.tell("")
            self.show_problem(problem)
