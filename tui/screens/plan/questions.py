"""What readers asked while the printer is here: who, about which paper and region, answered or open."""

from collections.abc import Sequence
from functools import partial

from textual.app import ComposeResult

from evaluation.loan import Loan, ReaderQuestion
from evaluation.telling import loan as loan_words
from evaluation.telling import plan_rows
from evaluation.work.bench import Bench
from evaluation.work.plan import entering
from evaluation.work.plan.plan import plan
from tui import keys
from tui.screens.plan import lines
from tui.screens.plan.turning import Turning
from tui.widgets import head
from tui.widgets.lines import Line
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList


class QuestionsPage(Turning):
    """The open ones first; the one under the cursor stands whole below."""

    SHOWS = ("question", "answer")

    PAGE = "questions"
    BINDINGS = keys.bindings("questions")
    TEXT = (
        "What readers asked. n keeps a question, then who asked and about what; Enter answers the one under "
        "the cursor and asks which appendix has it. The appendix lists those that are answered."
    )

    def __init__(self, bench: Bench, loan: Loan) -> None:
        super().__init__(bench)
        self.loan = loan

    def body(self) -> ComposeResult:
        with Frame("list", "Questions"):
            yield RowList("asked", moved=self.refresh_page, chosen=self.action_enter)
        yield Panel("about")

    def head_lines(self, width: int) -> Sequence[Line]:
        found = plan_rows.questions_open(plan(self.bench, self.loan))
        return head.plain_head(" ".join(["What readers ask.", *found]), "", width)

    def foot_state(self) -> str:
        return "questions" if self.loan.questions else "questions.none"

    @property
    def asked(self) -> list[ReaderQuestion]:
        """The open ones first, the newest first among them."""
        return sorted(self.loan.questions, key=lambda one: (one.answered is not None, -one.number))

    def repaint(self) -> None:
        asked = self.asked
        self.list_here.show(partial(self._rows, asked), len(asked))
        one = self._here()
        now = self.bench.now().astimezone().replace(tzinfo=None)
        made = (
            [f"  {loan_words.NO_QUESTION} n keeps one."]
            if one is None
            else lines.asked(one, now, self.size.width)
        )
        self.one("about").show(made)

    def _rows(self, asked: Sequence[ReaderQuestion], start: int, count: int) -> list[Line]:
        return [lines.question(one, self.list_here.room - 2) for one in asked[start : start + count]]

    def as_text(self) -> str:
        return "\n".join(plan_rows.questions(plan(self.bench, self.loan))) + "\n"

    def _here(self) -> ReaderQuestion | None:
        asked = self.asked
        return asked[min(self.list_here.cursor, len(asked) - 1)] if asked else None

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def action_new(self) -> None:
        self.type_text("Question", "", self._ask)

    def _ask(self, text: str) -> None:
        self.loan = entering.ask(self.bench, self.loan, text)
        number = self.loan.questions[-1].number
        self.list_here.put(0)
        self.refresh_page()
        self.type_text("Who; paper; region", "", partial(self._about, number), about=f"about {number}")
        self.tell(f"Saved. Question {number}.")

    def _about(self, number: int, text: str) -> None:
        who, paper, region = (*text.split(";", 2), "", "", "")[:3]
        self.loan = entering.about_question(self.bench, self.loan, number, who, paper, region)
        self.refresh_page()
        self.tell(f"Saved. Question {number}.")

    def action_enter(self) -> None:
        one = self._here()
        if one is None:
            self.action_new()
        else:
            self.type_text("Answer", one.answer, partial(self._answer, one), about=f"answer {one.number}")

    def _answer(self, one: ReaderQuestion, text: str) -> None:
        self.loan = entering.answer(self.bench, self.loan, one.number, text, one.appendix)
        self.refresh_page()
        if text.strip():
            done = partial(self._in, one.number, text)
            self.type_text("In which appendix, if any", one.appendix, done, about=f"appendix {one.number}")
        self.tell(f"Saved. Question {one.number}.")

    def _in(self, number: int, text: str, appendix: str) -> None:
        self.loan = entering.answer(self.bench, self.loan, number, text, appendix)
        self.refresh_page()
        self.tell(f"Saved. Question {number}.")

    def loan_here(self) -> Loan | None:
        return self.loan

    def loan_turned(self) -> None:
        self.loan = entering.newest(self.bench) or self.loan
        self.refresh_page()

    def back(self) -> None:
        self.app.pop_screen()
