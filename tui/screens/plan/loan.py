"""The loan behind a plan: printer, days and hours, papers with their settings, minutes of the steps."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, time
from functools import partial
from typing import Final

from textual.app import ComposeResult

from evaluation.loan import Loan
from evaluation.plain_text import counted
from evaluation.planning import typed
from evaluation.planning.steps import STEPS
from evaluation.telling import loan as loan_words
from evaluation.telling import plan as words
from evaluation.work.bench import Bench
from evaluation.work.plan import entering
from evaluation.work.plan.plan import plan
from tui import keys
from tui.screens.plan import lines
from tui.screens.plan.turning import Turning
from tui.widgets import head
from tui.widgets.lines import Line
from tui.widgets.panel import Frame
from tui.widgets.row_list import RowList

_TITLE_AT: Final = 3  # column of the titles


@dataclass(frozen=True, slots=True)
class _Row:
    """A row: how it is called, what stands there, a note, and what takes the text that is typed."""

    title: str
    value: str
    note: str
    take: Callable[[str], Loan]
    paper: str = ""
    opens: str | None = None  # what stands in the opened line, where that is not the value


class LoanPage(Turning):
    """Every row opens with Enter; n adds a paper, x takes one off."""

    SHOWS = ("about", "paper", "minutes", "took", "lost")

    PAGE = "loan"
    BINDINGS = keys.bindings("loan")
    TEXT = (
        "The printer on loan: its days and open hours, the papers with the settings wanted on them, and the "
        "minutes each step takes. Enter changes a row. A paper is typed as “Rag 293: fine, finest; portrait; "
        "maker's profile”; the last says that its maker's profile may do where time is short."
    )

    def __init__(self, bench: Bench, loan: Loan) -> None:
        super().__init__(bench)
        self.loan = loan

    def body(self) -> ComposeResult:
        with Frame("list", "The loan", classes="panel here bare-low"):
            yield RowList("fields", moved=self.refresh_foot, chosen=self.action_enter)

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head(f"Loan {self.loan.number}", counted(len(self.loan.papers), "paper"), width)

    def repaint(self) -> None:
        rows = self._all()
        self.list_here.show(partial(self._rows, rows), len(rows))

    def _rows(self, rows: Sequence[_Row], start: int, count: int) -> list[Line]:
        room = self.list_here.room - 2
        widths = self._widths(rows)
        return [
            lines.field(row.title, row.value, row.note, room, widths) for row in rows[start : start + count]
        ]

    def _widths(self, rows: Sequence[_Row]) -> tuple[int, int]:
        return lines.field_widths(((row.title, row.value, row.note) for row in rows), self.list_here.room - 2)

    def as_text(self) -> str:
        return "\n".join(f"{row.title}: {row.value}".rstrip() for row in self._all()) + "\n"

    def _all(self) -> list[_Row]:
        about = self.loan.about
        shown = {
            "first": about.first.isoformat() if about.first else "",
            "last": about.last.isoformat() if about.last else "",
            "opens": f"{about.opens:%H:%M}",
            "closes": f"{about.closes:%H:%M}",
            "days": words.weekdays(about.days),
            "second_viewings": "yes" if about.second_viewings else "no",
            "full_list": "yes" if about.full_list else "no",
        }
        rows = [
            _Row(
                title,
                shown.get(name, "") or getattr(about, name) or "",
                loan_words.FIELD_NOTE.get(name, ""),
                partial(entering.set_about, self.bench, self.loan, name),
            )
            for name, title in loan_words.FIELD.items()
        ]
        lost = ", ".join(words.short_day(datetime.combine(day, time())) for day in sorted(self.loan.lost))
        rows.append(_Row(loan_words.LOST, lost, loan_words.LOST_NOTE, self._lose, opens=""))
        for place, paper in enumerate(self.loan.papers):
            note = loan_words.BASE if place == 0 else ""
            take = partial(entering.change_paper, self.bench, self.loan, paper.name)
            rows.append(_Row(paper.name, typed.wishes(paper), note, take, paper.name))
        found = plan(self.bench, self.loan)
        for step in STEPS:
            take = partial(entering.set_minutes, self.bench, self.loan, step)
            minutes = f"{found.times.minutes[step]:.0f} min"
            rows.append(_Row(words.STEP[step], minutes, loan_words.BY[found.times_of[step]], take))
        return rows

    def _lose(self, text: str) -> Loan:
        return entering.lose_day(self.bench, self.loan, typed.day_typed(text, self.bench.now()))

    def _here(self) -> _Row:
        return self._all()[self.list_here.cursor]

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def action_enter(self) -> None:
        row = self._here()
        self.type_text(
            "",
            row.value if row.opens is None else row.opens,
            partial(self._take, row),
            at=self._at_value,
            anew=not row.paper,
            about=row.title,
        )

    def _at_value(self) -> tuple[int, int, int]:
        return self.list_here.from_column(_TITLE_AT + self._widths(self._all())[0] + 1)

    def _take(self, row: _Row, text: str) -> None:
        self.loan = row.take(text)
        self.refresh_page()
        self.tell(f"Saved. {row.title}: {self._here().value or loan_words.NONE}.")

    def action_new(self) -> None:
        self.type_text("Paper: settings", "", self._add)

    def _add(self, text: str) -> None:
        self.loan = entering.add_paper(self.bench, self.loan, text)
        self.refresh_page()
        self.tell(f"Saved. {self.loan.papers[-1].name}: {typed.wishes(self.loan.papers[-1])}.")

    def action_off(self) -> None:
        name = self._here().paper
        if not name:
            self.tell("x takes a paper off; this row is none.")
        elif self.attempt(lambda: self._off(name)):
            self.tell(f"{name} is off the plan; its sessions stay. u takes it back.")

    def _off(self, name: str) -> None:
        self.loan = entering.take_off(self.bench, self.loan, name)
        self.refresh_page()

    def loan_here(self) -> Loan | None:
        return self.loan

    def loan_turned(self) -> None:
        self.loan = entering.newest(self.bench) or self.loan
        self.refresh_page()

    def back(self) -> None:
        self.app.pop_screen()
