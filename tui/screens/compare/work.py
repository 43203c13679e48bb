"""The work behind Compare: what is missing and what is drawn come from threads, and can be stopped."""

from collections.abc import Callable
from functools import partial
from threading import Event
from typing import Final

from textual.widgets import ProgressBar

from evaluation.judgement import standing
from evaluation.judgement.matrix import Matrix, RegionRow
from evaluation.telling.paper_and_black import PaperAndBlack
from evaluation.work.bench import Bench
from evaluation.work.compare import compare, curves
from evaluation.work.compare import facts as compare_facts
from evaluation.work.compare.curves import Laying
from tui.messages import Done, Failed, Progress
from tui.screens.base.copies import Copying
from tui.screens.compare import lines
from tui.screens.compare.table import Table

# Up to so many prints all are compared with all at once; more wait until somebody asks (Tab).
_ALL_AT_ONCE: Final = 8


class ComparingPage(Copying):
    """A page on a table of prints. Subclasses draw it: `anew`, `below`, and say what is drawn."""

    table: Table

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.layings: dict[tuple[str, tuple[int, ...]], Laying] = {}  # by region and prints drawn
        self.facts: dict[int, PaperAndBlack] = {}
        self.stopping: Event | None = None  # set to stop the work that is under way
        self.words_wanted = False

    @property
    def matrix(self) -> Matrix:
        return self.table.matrix

    @property
    def row(self) -> RegionRow | None:
        """The region under the cursor; None while there is none."""
        return None

    def drawn(self) -> tuple[int, ...]:
        """The prints whose curves an opened row shows, the base first; none while no row is open."""
        return ()

    def anew(self, sentence: str = "") -> None:
        """After anything that changes which rows or columns there are."""

    def below(self) -> None:
        """Draw what stands under the matrix."""

    def action_part(self) -> None:
        """The groups in words."""

    def complete(self, *, every_pair: bool = False) -> None:
        """Work out what is not stored yet: first against the base, then, for a few prints, all with all."""
        few = len(self.table.ids) <= _ALL_AT_ONCE
        if self.matrix.unweighed or self.matrix.missing:
            self._work(every_pair=False)
        elif (few or every_pair) and standing.groups(self.matrix, self.table.use) is None:
            self._work(every_pair=True)

    def _work(self, *, every_pair: bool) -> None:
        self.stop()
        self.stopping = stopping = Event()
        ids, base = self.table.ids, self.matrix.base
        counted = [0, 0]

        def tell(words: str) -> None:
            self.post_message(Progress(words, *counted))

        def count(*now: int) -> None:
            counted[:] = now

        self.start_job(
            "comparing all" if every_pair else "comparing",
            lambda bench, _: compare.worked_out(
                bench, ids, base, every_pair=every_pair, tell=tell, counted=count, stopped=stopping.is_set
            ),
        )
        self._show_bar()
        self.refresh_foot()

    def stop(self) -> None:
        if self.stopping is not None:
            self.stopping.set()
            self.stopping = None
            self._show_bar()

    def _show_bar(self) -> None:
        """How far the work is, as long as there is any."""
        for bar in self.query(ProgressBar):
            bar.display = self.stopping is not None
            bar.update(total=None)

    def on_progress(self, event: Progress) -> None:
        if event.parts and self.stopping is not None:
            self.query_one(ProgressBar).update(total=event.parts, progress=event.done)

    def on_done(self, event: Done) -> None:
        """Comparing and drawing go on side by side, so each answer is judged by what it is about."""
        event.prevent_default()  # the page waits for the newest job only
        if event.job != "curves":
            if event.value.base != self.matrix.base:
                return  # the base was changed meanwhile; the newer work answers
            self.stopping = None
            self._show_bar()
            self.table.show(event.value)
            self.said = lines.NOTE
            self.anew()
            self.complete(every_pair=self.words_wanted)
            if self.words_wanted and self.stopping is None:
                self.action_part()
        else:
            laying, facts = event.value
            self.layings[laying.region, tuple(facts)] = laying
            self.facts.update(facts)
            self.below()

    def on_failed(self, event: Failed) -> None:
        event.prevent_default()
        if isinstance(event.problem, compare.Stop):
            if self.stopping is None:
                self.tell(event.problem.sentence)
            return
        self.stop()
        self.show_problem(event.problem)
        self.refresh_page()

    def fetch(self) -> None:
        row, drawn = self.row, self.drawn()
        if row is not None and (row.id, drawn) not in self.layings:
            self.start_job("curves", partial(_curves, drawn, row.id))


def _curves(
    drawn: tuple[int, ...], region: str, bench: Bench, _progress: Callable[[str], None]
) -> tuple[Laying, dict[int, PaperAndBlack]]:
    laying = curves.laid_over(bench, drawn, region)
    return laying, {one: compare_facts.facts(bench, one) for one in drawn}
