"""Facts for readers: a row a fact, typed as its example does; T times a print."""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from textual.app import ComposeResult

from evaluation.entry import FACT
from evaluation.facts.kinds import KINDS, Kind
from evaluation.work.bench import Bench
from evaluation.work.facts import facts
from evaluation.work.log import Entered
from tui import keys
from tui.screens.steps.step import StepPage
from tui.widgets import head
from tui.widgets.lines import Line, cell, wrapped
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

if TYPE_CHECKING:
    from evaluation.facts.paper_fact import PaperFact
    from evaluation.telling.facts import Fact

_VALUE_AT: Final = 23  # column of the values


class FactsForReaders(StepPage):
    """What nobody grades and everybody asks, of the session, its printer and its paper."""

    PAGE = "facts"
    BINDINGS = keys.bindings("facts")
    HEAD = "plain"
    TEXT = (
        "Facts that readers ask for. Enter opens a row to type in, as its example shows. T begins to time a "
        "print and ends it; three make a median. Facts of the printer hold in all its sessions. Those of "
        "the paper are worked out from readings of the bare paper. The appendix lists what is stated."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.paper: Sequence[PaperFact] = ()
        self.stated: dict[str, Fact] = {}

    def body(self) -> ComposeResult:
        with Frame("list", "Facts for readers"):
            yield RowList("facts", moved=self.moved, chosen=self.action_enter)
        yield Panel("about")

    def on_mount(self) -> None:
        self.start_job("paper", partial(_paper, self.session_id))

    def done(self, job: str, value: Any) -> None:
        self.paper = value
        self.refresh_page()

    # Drawing ----------------------------------------------------------------------------------------------

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head(self.print_title(), "facts for readers", width)

    def repaint(self) -> None:
        self.stated = {one.kind.id: one for one in facts.of_session(self.bench, self.session)}
        self.list_here.show(self._rows, len(KINDS) + len(self.paper))
        self._about()

    def _rows(self, start: int, count: int) -> list[Line]:
        rows: list[Line] = [self._row(kind) for kind in KINDS]
        room = self.list_here.room - _VALUE_AT - 2
        rows += [f" {cell(one.title, _VALUE_AT - 3)}{cell(one.shown, room)}" for one in self.paper]
        return rows[start : start + count]

    def _row(self, kind: Kind) -> Line:
        room = self.list_here.room - _VALUE_AT - 2
        one = self.stated.get(kind.id)
        if one is None:
            return (
                (f" {cell(kind.title, _VALUE_AT - 3)}", ""),
                (cell(f"of the {kind.whose}; not stated", room), "quiet"),
            )
        whence = f"  from session {one.session}" if one.session != self.session_id else ""
        return (
            (f" {cell(kind.title, _VALUE_AT - 3)}{cell(one.shown, room - len(whence))}", ""),
            (whence, "quiet"),
        )

    def _about(self) -> None:
        self.one("about").called(self._title())
        self.one("about").show(self._about_lines)

    def _title(self) -> str:
        kind = self.kind
        return kind.title if kind is not None else self.paper[self.list_here.cursor - len(KINDS)].title

    def _about_lines(self, width: int, height: int) -> Sequence[Line]:
        kind = self.kind
        if kind is None:
            one = self.paper[self.list_here.cursor - len(KINDS)]
            told = [f"{one.source}.", one.tells_not]
        else:
            known = self.stated.get(kind.id)
            told = [kind.method if known is None else known.method, kind.tells_not, f"Type: {kind.example}"]
        return [f"   {row}" for text in told for row in wrapped(text, width - 6)][:height]

    @property
    def kind(self) -> Kind | None:
        """The fact under the cursor; None where that is one of the paper."""
        row = self.list_here.cursor
        return KINDS[row] if row < len(KINDS) else None

    # Keys -------------------------------------------------------------------------------------------------

    def moved(self) -> None:
        self._about()

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def back(self) -> None:
        self.app.pop_screen()

    def action_enter(self) -> None:
        kind = self.kind
        if kind is None:
            self.tell("Facts of the paper are worked out from its readings.")
            return
        before = facts.as_typed(self.session, kind)
        self.type_text(
            "",
            before,
            partial(self._state, kind, before),
            at=partial(self.list_here.from_column, _VALUE_AT),
            about=kind.id,
            anew=not before,
        )

    def _state(self, kind: Kind, before: str, text: str) -> None:
        """Keep what was typed, unless nothing changed. Raises DrydownError."""
        if text.strip() != before:
            self.took(facts.state(self.bench, self.session_id, kind.id, text))

    def action_timer(self) -> None:
        self.list_here.put(next(row for row, kind in enumerate(KINDS) if kind.id == "time"))
        running = "started" in self.session.facts.get("time", {})
        if self.save(partial(facts.start_or_stop, self.bench, self.session)) and not running:
            self.tell("The print is being timed. T ends it, also after drydown was left.")

    def turned(self, step: Entered) -> None:
        ids = [kind.id for kind in KINDS]
        subject = step.entries[0].subject.removeprefix(FACT)
        if subject in ids:
            self.list_here.put(ids.index(subject))

    def as_text(self) -> str:
        rows = [
            f"{one.kind.title}: {one.shown}. {one.method} {one.tells_not}" for one in self.stated.values()
        ]
        rows += [f"{one.title}: {one.shown}. {one.source}. {one.tells_not}" for one in self.paper]
        return "\n".join([self.print_title(), "", *rows]) + "\n"


def _paper(session_id: int, bench: Bench, _tell: object = None) -> "Sequence[PaperFact]":
    """In a thread: colour maths comes with it."""
    from evaluation.work.facts.paper import paper_facts

    return paper_facts(bench, session_id)
