"""The plan behind its page: laid anew at every entry; entered, written out, taken back by keys."""

from collections.abc import Sequence
from datetime import date, datetime, time
from functools import partial
from pathlib import Path
from typing import Any

from evaluation.csv_text import csv_text
from evaluation.loan import About, Loan
from evaluation.planning import typed
from evaluation.planning.plan import Plan
from evaluation.telling import calendar, plan_rows
from evaluation.telling import plan as words
from evaluation.work.bench import Bench
from evaluation.work.onto_disk import put
from evaluation.work.plan import entering
from evaluation.work.plan.plan import plan
from tui.screens.base.paths import short
from tui.screens.base.text import TextPage
from tui.screens.plan.turning import Turning
from tui.screens.tools.report_lines import report_lines
from tui.widgets.lines import Line

_WIDE = 100  # columns, from which the end of each step stands beside its beginning


class Laid(Turning):
    """Holds the plan, None before a loan is begun, and its shares, None while they are worked out."""

    SHOWS = ("paper", "took", "timer", "session", "done", "lost", "left out")

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.plan: Plan | None = None
        self.likely: Sequence[plan_rows.Share] | None = None

    @property
    def loan(self) -> Loan:
        assert self.plan is not None
        return self.plan.loan

    def lay(self) -> None:
        """The plan anew, from what is entered by now; its shares when they are worked out."""
        found: list[Plan | None] = []

        def look() -> None:
            loan = entering.newest(self.bench)
            found.append(None if loan is None else plan(self.bench, loan))

        if not self.attempt(look):
            return
        before, self.plan = self.plan, found[0]
        if self.plan is not None and (before is None or before.chains != self.plan.chains or not self.likely):
            self.likely = None
            self.start_job("how likely", partial(_shares, self.plan))
        self.refresh_page()

    def done(self, job: str, value: Any) -> None:
        self.likely = value
        self.refresh_page()

    # Entering ---------------------------------------------------------------------------------------------

    def begin_or_add(self) -> None:
        """The day the printer goes back begins a loan; after that papers are added."""
        if self.plan is None:
            self.type_text("The day it goes back", "", self._begin)
        else:
            self.type_text("Paper: settings", "", self._add)

    def _begin(self, typed_day: str) -> None:
        last = typed.day_typed(typed_day, self.bench.now())
        entering.begin_loan(self.bench, About(first=self._today(), last=last), ())
        self.lay()
        self.tell("A loan is begun from today on. n adds papers, e has hours and days.")

    def _today(self) -> date:
        return self.bench.now().astimezone().date()

    def action_new(self) -> None:
        self.begin_or_add()

    def _add(self, text: str) -> None:
        loan = entering.add_paper(self.bench, self.loan, text)
        self.lay()
        self.tell(f"Saved. {loan.papers[-1].name}: {typed.wishes(loan.papers[-1])}.")

    def action_lost(self) -> None:
        if self.plan is not None:
            self.type_text("A day without work", self._today().isoformat(), self._lost)

    def _lost(self, text: str) -> None:
        day = typed.day_typed(text, self.bench.now())
        loan = entering.lose_day(self.bench, self.loan, day)
        self.lay()
        counts = "is lost" if day in loan.lost else "counts again"
        self.tell(f"Saved. {words.short_day(datetime.combine(day, time()))} {counts}.")

    async def action_loan(self) -> None:
        from tui.screens.plan.loan import LoanPage

        if self.plan is None:
            self.begin_or_add()
        else:
            await self.app.push_screen(LoanPage(self.bench, self.loan))

    async def action_questions(self) -> None:
        from tui.screens.plan.questions import QuestionsPage

        if self.plan is None:
            self.begin_or_add()
        else:
            await self.app.push_screen(QuestionsPage(self.bench, self.loan))

    async def action_week(self) -> None:
        found = self.plan
        if found is not None:
            title = f"The week from {words.short_day(found.now)}"
            await self.app.push_screen(TextPage(self.bench, title, partial(_week_lines, found), "week"))

    def loan_here(self) -> Loan | None:
        return self.plan.loan if self.plan else None

    def loan_turned(self) -> None:
        self.lay()

    def _write(self, path: Path) -> None:
        """By its ending: the week as CSV or calendar, else the plan as text."""
        if self.plan is None or path.suffix.lower() not in (".csv", ".ics"):
            super()._write(path)
            return
        table = plan_rows.week(self.plan)
        csv = csv_text(table.heads, table.rows)
        text = csv if path.suffix.lower() == ".csv" else calendar.calendar(self.plan, self.bench.now())
        put(path, text.encode(), "The file was not written.")
        self.tell(f"Written: {short(path, self.size.width - 13)}.")


def _shares(found: Plan, bench: Bench, tell: Any) -> Sequence[plan_rows.Share]:
    return plan_rows.shares(found)


def _week_lines(found: Plan, width: int) -> list[Line]:
    return [*report_lines([plan_rows.week(found, narrow=width < _WIDE)], width)]
