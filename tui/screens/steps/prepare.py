"""Prepare: eleven lines, a digit each; two clocks that run by themselves; cautions where they belong."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from rich.cells import cell_len
from textual.app import ComposeResult

from evaluation.plain_text import visible
from evaluation.session import READINESS
from evaluation.telling.entries import detail_shown
from evaluation.work.bench import Bench
from evaluation.work.describe import prepare
from evaluation.work.log import Entered
from evaluation.work.references import due
from tui import keys
from tui.screens.base.bounce import Bounce
from tui.screens.steps.step import StepPage
from tui.widgets.lines import Line, cell, wrapped
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_ITEMS: Final = tuple(READINESS)
_ON: Final = "go on to Look"
# Rows behind the lines, and what stands about them.
_MORE: Final = {
    _ON: "Nothing here blocks: what is open goes with the result as a caveat. Enter goes on to Look.",
    "draw test image, patch list, booth form": "No print yet? Enter draws the test image for your paper, "
    "with the list of its patches and a form for the booth, says how to print them, and ties them to this "
    "session.",
}


class Prepare(StepPage):
    """A digit answers the line under the cursor and steps down."""

    PAGE = "prepare"
    BINDINGS = keys.bindings("prepare")
    TEXT = (
        "Nothing here blocks: what stays open goes with the result as a caveat. A digit answers and steps "
        "down. Enter asks for what was measured, or starts the clock of the eyes."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.bounce = Bounce()

    def body(self) -> ComposeResult:
        with Frame("list", "Before the print is looked at"):
            yield RowList("items", moved=self.moved)
        yield Panel("about", classes="panel bare-low")

    def on_mount(self) -> None:
        waiting = prepare.waits_for(self.session, self.bench.now(), clocks=self.bench.clocks)
        first = _ITEMS.index(waiting[0]) if waiting else 0
        self.list_here.show(self._rows, len(_ITEMS) + len(_MORE), first)
        if (reference := due.due(self.bench)) is not None:
            from evaluation.telling import references  # numpy, which this page does without

            self.said = references.due(reference, self.bench.now())
        self.set_interval(1.0, self._tick)

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(_ITEMS) + len(_MORE))
        self._about()

    def _tick(self) -> None:
        """Both clocks move on; a clock that has run out also changes the header."""
        self.list_here.reload()
        self.one("head").refresh()

    def _rows(self, start: int, count: int) -> list[Line]:
        rows: list[Line] = [self._row(item) for item in _ITEMS]
        return [*rows, *(((f" {name} ...", "quiet"),) for name in _MORE)][start : start + count]

    def _row(self, item: str) -> Line:
        state, beside = prepare.state_words(self.session, item, self.bench.now(), clocks=self.bench.clocks)
        room = self.list_here.room
        wide = room >= 100
        named, stated = (44, 16) if wide else (37, 15)
        left = room - named - stated - 6
        name = READINESS[item] if wide else _short(READINESS[item])
        if state == "-" and (before := prepare.offered(self.bench, self.session, item)):
            said = detail_shown(before.detail) or "done"
            beside = f"{said} in no. {self.session.copied_from}; 1 keeps it"
        made = self.session.readiness.get(item)
        if made is not None and made.detail and cell_len(beside) > left:
            beside = detail_shown(made.detail)  # what was measured, rather than when
        return (f" {cell(name, named)}{cell(state, stated)}", ""), (cell(beside, left), "")

    def _about(self) -> None:
        title = READINESS[self.item] if self.item else self.more
        self.one("about").called(title[:1].upper() + title[1:])
        self.one("about").show(self._about_lines)

    def _about_lines(self, width: int, height: int) -> Sequence[Line]:
        """What was entered, how the line is answered, and what to take care of."""
        room = min(width - 4, 96)
        if not self.item:
            return [f"  {row}" for row in wrapped(_MORE[self.more], room)]
        about = prepare.ABOUT[self.item]
        title = READINESS[self.item]
        made = self.session.readiness.get(self.item)
        said = f"Entered: {detail_shown(made.detail)}." if made is not None and made.detail else ""
        care = f"Care: {about.care}" if about.care else ""
        named = (
            f"{title[:1].upper()}{title[1:]}. " if self.has_class("-low") else ""
        )  # its frame has it elsewhere
        told = [words for words in (said, f"{named}{about.text}", care) if words]
        return [f"  {row}" for words in told for row in wrapped(words, room)]

    @property
    def item(self) -> str:
        """The line under the cursor; "" on a row behind them."""
        row = self.list_here.cursor
        return _ITEMS[row] if row < len(_ITEMS) else ""

    @property
    def more(self) -> str:
        """What a row behind the lines leads to."""
        return list(_MORE)[self.list_here.cursor - len(_ITEMS)]

    def moved(self) -> None:
        self._about()

    def go_to(self, where: str) -> None:
        waiting = prepare.waits_for(self.session, self.bench.now(), clocks=self.bench.clocks)
        if where == "next" and waiting and self.session.viewing is None:
            self.list_here.put(_ITEMS.index(waiting[0]))
            count = "one line" if len(waiting) == 1 else f"{len(waiting)} lines"
            self.tell(f"Still open here: {count}. g 3 goes on all the same; it becomes a caveat.")
        else:
            super().go_to(where)

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def action_digit(self, digit: str) -> None:
        if self.bounce.same(digit, self.desk):
            return
        item, mark = self.item, prepare.mark_of(int(digit))
        if not item:
            self.tell(f"Enter: {self.more}.")
            return

        def answered() -> None:
            step = prepare.answer(self.bench, self.session_id, item, mark)
            if step is None:
                words = READINESS[item]
                self.tell(f"{words[:1].upper()}{words[1:]}: not yet. Its clock turns it into done.")
            else:
                self.took(step)
            self.list_here.move("down")

        self.attempt(answered)

    async def action_enter(self) -> None:
        item = self.item
        if not item:
            if self.more == _ON:
                super().go_to("look")
            else:
                await self.action_sheet()
            return
        if item == "adapted":
            start = partial(prepare.start_clock, self.bench, self.session_id)
            self.attempt(partial(self._down_after, start))
            return
        label = prepare.ABOUT[item].detail
        if not label:
            self.tell("1 done, 2 not done, 3 does not apply.")
            return
        made = self.session.readiness.get(item) or prepare.offered(self.bench, self.session, item)
        before = detail_shown({k: v for k, v in made.detail.items() if k != "as on"}) if made else ""
        self.type_text(
            label,
            before,
            partial(self._detail, item, before if made and made.mark == "done" else ""),
        )

    def _detail(self, item: str, before: str, typed: str) -> None:
        """Keep what was measured, unless it is as it was. Raises DrydownError."""
        if typed.strip() and typed.strip() != visible(before):
            self._down_after(partial(prepare.say_detail, self.bench, self.session_id, item, typed))

    def _down_after(self, verb: Callable[[], Entered]) -> None:
        self.took(verb())
        self.list_here.move("down")

    def turned(self, step: Entered) -> None:
        subject = "adapted" if step.entries[0].kind == "timer" else step.entries[0].subject
        if subject in _ITEMS:
            self.list_here.put(_ITEMS.index(subject))

    def as_text(self) -> str:
        now = self.bench.now()
        states = {
            item: "  ".join(prepare.state_words(self.session, item, now, clocks=self.bench.clocks))
            for item in _ITEMS
        }
        rows = [f"{READINESS[item]:<42}{states[item]}".rstrip() for item in _ITEMS]
        return "\n".join([self.print_title(), "", *rows]) + "\n"


def _short(name: str) -> str:
    return name.replace(", this direction and quality", ", direction and quality")
