"""What Read does with profiling data: looks at it, and takes over what another session keeps."""

from functools import partial
from typing import TYPE_CHECKING

from evaluation.judgement.charts_offered import Offered
from evaluation.work.bench import Bench
from evaluation.work.charts import kept
from tui.screens.base.text import TextPage
from tui.screens.read import chart_lines
from tui.screens.steps.step import StepPage

if TYPE_CHECKING:
    from evaluation.judgement.charts import ChartPair, OfSession

    Beside = tuple[tuple[OfSession, ...], tuple[ChartPair, ...]]


class ProfilingData(StepPage):
    """A page with the key that shows profiling data; its `done` hands the job “chart” to `show_chart`."""

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.offered: tuple[Offered, ...] = ()

    def action_chart(self) -> None:
        """Profiling data: what another session keeps may be taken over first; nothing counts unasked."""
        if not self.offered:
            self._work_chart()
            return
        numbered = list(enumerate(self.offered[:9], 1))
        answers = {str(place): partial(self._take_over, each) for place, each in numbered}
        names = ", ".join(f"{place} of session {each.session}" for place, each in numbered)
        self.ask(f"Count profiling data here too? {names}; 0 only look.", {**answers, "0": self._work_chart})

    def _take_over(self, offered: Offered) -> None:
        if self.save(partial(kept.take_over, self.bench, self.session_id, offered.session)):
            self._work_chart()

    def _work_chart(self) -> None:
        self.tell("Working the profiling data out.")
        self.start_job("chart", partial(beside, self.session_id))

    async def action_wider(self) -> None:
        """This session with others of its printer and paper that keep profiling data, oldest first."""
        from tui.screens.gamut.page import StepThrough

        ids = sorted({self.session_id, *kept.kept_beside(self.bench, self.session)})
        if len(ids) < 2:
            self.tell(
                "No other session of this printer and paper keeps profiling data; g c compares marked ones."
            )
        else:
            await self.app.push_screen(StepThrough(self.bench, ids))

    def show_chart(self, found: "tuple[OfSession, ...]", between: "tuple[ChartPair, ...]") -> None:
        self.said = ""
        if all(each.chart is None for each in found):
            self.tell("No profiling data here, nor in another session on this printer and paper.")
            return
        made, name = partial(chart_lines.page, found, between), f"profiling-{self.session_id}"
        self.app.push_screen(TextPage(self.bench, "Profiling data", made, name))


def beside(session_id: int, bench: Bench, _progress: object = None) -> "Beside":
    """Profiling data of a session and of others on its paper; colour maths comes with it, in the thread."""
    from evaluation.work.charts import charts
    from evaluation.work.weigh.weigh import tables

    in_force = tables(bench)
    found = charts.side_by_side(bench, session_id, in_force)
    return found, charts.between(bench, found, in_force)
