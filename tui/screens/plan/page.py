"""Plan: what to do next with a printer on loan, what dries until when, what can still be done."""

from collections.abc import Sequence
from datetime import datetime
from functools import partial
from typing import Final

from textual.app import ComposeResult
from textual.containers import Container

from evaluation.plain_text import capital
from evaluation.planning.plan import Job
from evaluation.telling import plan as words
from evaluation.telling import plan_rows
from evaluation.work.plan import doing, entering
from tui import keys
from tui.screens.plan import lines
from tui.screens.plan.kept_plan import Laid
from tui.widgets import head
from tui.widgets.lines import Line, paragraphs, text_of
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_AGAIN: Final = 60.0  # seconds after which the plan is laid anew by itself


class PlanPage(Laid):
    """Laid anew at every entry; how likely all of it is follows from a thread."""

    PAGE = "plan"
    BINDINGS = keys.bindings("plan")
    TEXT = (
        "A printer on loan: what to do now stands on top and first in the list. Enter opens the place of a "
        "step, and begins its session where there is none; Space says that the step was done just now. e has "
        "days, hours, papers and times, Tab what readers asked, v the week. o writes text, .csv or .ics."
    )

    def body(self) -> ComposeResult:
        yield Panel("next", "Now", classes="panel here")
        with Container(id="lower"):
            with Frame("list", "Papers", classes="panel"):
                yield Panel("heading", classes="flat")
                yield RowList("jobs", moved=self.refresh_page, chosen=self.action_enter)
            yield Panel("rest", "Until it goes back")

    def on_mount(self) -> None:
        self.lay()
        self.set_interval(_AGAIN, self.lay)

    def came_back(self) -> None:
        self.lay()

    # Drawing ----------------------------------------------------------------------------------------------

    def head_lines(self, width: int) -> Sequence[Line]:
        if self.plan is None:
            return head.plain_head("Plan of a loan", "", width)
        about = self.plan.loan.about
        last = about.last
        back = "" if last is None else words.back_on(datetime.combine(last, about.closes), self.plan.now)
        left = ", ".join(part for part in (f"Plan: {about.printer or 'a printer on loan'}", back) if part)
        return head.plain_head(left, f"{words.short_day(self.plan.now)}, {self.plan.now:%H:%M}", width)

    def foot_state(self) -> str:
        if self.plan is None:
            return "plan.none"
        return "plan" if self.plan.jobs else "plan.empty"

    def repaint(self) -> None:
        self.one("next").show(lambda width, height: lines.first(self._next(), width))
        found = self.plan
        jobs = found.jobs if found else ()
        self.query_one("#lower").display = bool(jobs)
        if found is None or not jobs:
            return
        done = sum(job.state == "done" for job in jobs)
        self.query_one("#list", Frame).called("Papers", f"{done} of {len(jobs)} done")
        self.one("heading").show(lambda width, height: [lines.heading(self.list_here.room - 3)])
        self.list_here.show(self._rows, len(jobs))
        self.one("rest").show(lambda width, height: paragraphs(self._rest(), width)[:height])

    def _next(self) -> list[str]:
        if self.plan is None:
            return [words.NO_LOAN]
        if not self.plan.jobs:
            return [*self.plan.troubles, words.NO_PAPER]
        return [*plan_rows.next_step(self.plan), *self.plan.troubles]

    def _rows(self, start: int, count: int) -> list[Line]:
        found = self.plan
        if found is None:
            return []
        room = self.list_here.room - 3
        return [lines.job(found, job, room) for job in found.jobs[start : start + count]]

    def _rest(self) -> list[str]:
        found = self.plan
        if found is None:
            return []
        timer = [words.timed(found.loan.timer[0], None)] if found.loan.timer else []
        likely = [words.WORKING_OUT] if self.likely is None else [sentence for sentence, _ in self.likely]
        likely = likely if found.chains and found.hours else []
        note = [words.upsets()] if self.likely and likely else []
        return [*timer, *plan_rows.rest(found), *likely, *plan_rows.questions_open(found), *note]

    def as_text(self) -> str:
        found = self.plan
        if found is None:
            return f"{words.NO_LOAN}\n"
        room = 100
        rows = [
            lines.heading(room),
            *(lines.job(found, job, room) for job in found.jobs),
        ]
        parts = [*self._next(), "", *(text_of(row).rstrip() for row in rows), "", *self._rest()]
        return "\n".join(parts) + "\n"

    # The job under the cursor -----------------------------------------------------------------------------

    @property
    def job(self) -> Job | None:
        """None where no paper is planned."""
        if self.plan is None or not self.plan.jobs:
            return None
        return self.plan.jobs[min(self.list_here.cursor, len(self.plan.jobs) - 1)]

    def session_in_hand(self) -> int | None:
        return self.job.session if self.job else None

    def drawn_for(self) -> int | None:
        return self.session_in_hand()

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def action_enter(self) -> None:
        """The place of the step; its session is begun where there is none."""
        job = self.job
        if job is None:
            self.begin_or_add()
        elif job.step is None and job.session is None:
            self.tell("It is left out; x takes it in again." if job.state == "left out" else "It is done.")
        elif job.step == "charts":  # no page of a session has them: they are printed, and that is all
            name = f"{job.paper.name}, {job.setting}"
            self.ask(f"{name}: charts printed just now? 1 yes, 0 no.", {"1": partial(self._done, job)})
        else:
            self.attempt(lambda: self._open(job))

    def _open(self, job: Job) -> None:
        number = job.session
        if number is None:
            _, number = doing.session_for(self.bench, self.loan, job.paper.name, job.setting)
        where = {"profile": "read", "sheet": "describe"}.get(job.step or "", "next")
        self.desk.go(where, number)

    async def action_sheet(self) -> None:
        """The test image for the session of the row."""
        job = self.job
        if job is None or job.step is None:
            self.tell("Nothing is left to print here.")
            return
        if job.session is None:
            if not self.attempt(
                partial(doing.session_for, self.bench, self.loan, job.paper.name, job.setting)
            ):
                return
            self.lay()
        await super().action_sheet()

    def action_done(self) -> None:
        """The next step of the row was done just now; what is still wet is asked about."""
        job = self.job
        if job is None or job.step is None:
            self.tell("Nothing is left to do here.")
            return
        if job.state == "dries" and job.from_ is not None and self.plan is not None:
            name = f"{job.paper.name}, {job.setting}"
            until = words.clock(job.from_, self.plan.now)
            step = capital(words.STEP[job.step])
            question = f"{name} is not dry before {until}. {step}: done? 1 yes, 0 no."
            self.ask(question, {"1": partial(self._done, job)})
        else:
            self._done(job)

    def _done(self, job: Job) -> None:
        step = job.step
        assert step is not None
        if self.attempt(lambda: doing.done(self.bench, self.loan, job.paper.name, job.setting, step)):
            self.list_here.put(0)
            self.lay()
            self.tell(f"Saved. {job.paper.name}, {job.setting}: {words.SHORT_STEP[step]}, done. u undoes it.")

    def action_timer(self) -> None:
        """Start the clock of the row's step, or stop the one that runs."""
        running = self.loan.timer if self.plan else None
        job = self.job
        if running is None and (job is None or job.step is None):
            self.tell("Nothing is left to be timed here.")
            return
        step = job.step if job else None
        if self.attempt(lambda: entering.time_step(self.bench, self.loan, step)):
            self.lay()
            took = self.loan.took.get(running[0], ()) if running else ()
            self.tell(
                words.timed(running[0], took[-1] if took else 0.0) if running else words.timed(step, None)
            )  # type: ignore[arg-type]

    def action_omit(self) -> None:
        """Leave the row out, or take it in again."""
        job = self.job
        if job is None:
            return
        if self.attempt(lambda: entering.leave_out(self.bench, self.loan, job.paper.name, job.setting)):
            self.lay()
            again = "in again" if job.state == "left out" else "left out"
            self.tell(f"Saved. {job.paper.name}, {job.setting}: {again}.")
