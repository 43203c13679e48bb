"""Write up: a few choices, the true beginning of the page, and the file. Built in a thread."""

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, Final

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.appendix.case import NAMINGS, PAPERS, PARTS, Choices
from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.write_up import write_up
from evaluation.work.write_up.write_up import Written
from tui import keys
from tui.screens.base.choice_lines import VALUE_AT, choice_row
from tui.screens.base.paths import documents, short
from tui.screens.base.slow import SOON, SlowPage, Tell
from tui.screens.base.text import TextPage
from tui.screens.steps.step import StepPage, clock
from tui.screens.write_up import choices
from tui.screens.write_up.article_lines import article
from tui.widgets.lines import Line, wrapped
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_NOT_MADE: Final = "Not made. v makes it."
_ROWS: Final = ("sessions", "parts", "form", "paper", "observers", "file")


class WriteUp(StepPage, SlowPage):
    """Writes up this session, or several that were marked on Home."""

    PAGE = "write_up"
    BINDINGS = keys.bindings("write_up")
    TEXT = (
        "The appendix of a review: verdict and reasons first, where the print departs, the rest in tables. "
        "Below the choices stands its true "
        "beginning. o writes the file; v reads all of it first. Readings you have not looked at stay out."
    )

    def __init__(self, bench: Bench, session_id: int, others: Sequence[int] = ()) -> None:
        super().__init__(bench, session_id)
        self.ids = tuple(dict.fromkeys((session_id, *others)))
        self.choices = Choices()
        self.form = next(iter(self.forms()))
        self.path = documents() / f"{self._slug()}{self.form}"
        self.choosing = False
        self.writing = False  # a file; busy otherwise is making the pages to look at
        self.awaited = False  # v was pressed before they were made
        self.beginning: str | None = None
        self.whole = ""

    def forms(self) -> list[str]:
        return [ending for ending in write_up.ENDINGS if ending in choices.FORMS]

    def body(self) -> ComposeResult:
        with Frame("list", "The appendix"):
            yield RowList("choices", moved=self.moved)
        yield Panel("beginning", "How it will begin")
        yield ProgressBar(show_eta=False)

    def on_mount(self) -> None:
        self.list_here.show(self._rows, len(_ROWS), 1)
        self._build()

    def _slug(self) -> str:
        if len(self.ids) > 1:
            return "sessions-" + "-".join(map(str, self.ids))
        words = re.sub(r"[^\w]+", "-", self.session.condition.paper.casefold()).strip("-_")
        return f"{words or 'session'}-{self.session_id}"

    def on_unmount(self) -> None:
        if self.stopping is not None and not self.writing:  # nobody waits for the pages any more
            self.stopping.set()

    def _build(self) -> None:
        self.beginning = None
        work = partial(_appendix, self.ids, self.choices, self._inside)
        self.start_slow("appendix", "", work, _NOT_MADE, after=SOON)

    @property
    def _inside(self) -> int:
        """Columns of a page of text over this one."""
        return self.size.width - (2 if self.size.width >= 120 else 0)

    def done(self, job: str, value: Any) -> None:
        awaited = self.awaited
        self.ended()
        if job == "appendix":
            self.beginning, self.whole = value
            if awaited:
                self.tell("")
                self.action_view()
        else:
            written: Written = value
            self.session = log.session(self.bench, self.session_id)
            self.said = f"Written {clock(self.bench.now())}: {short(written.path, self.size.width - 20)}."
            if self.beginning is None:  # what was being made when o was pressed came too late
                self._build()
        self.refresh_page()

    def ended(self) -> None:
        self.writing = self.awaited = False
        super().ended()

    # Drawing ----------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(_ROWS))
        self.one("beginning").show(self._beginning)

    def _rows(self, start: int, count: int) -> list[Line]:
        return [self._row(name) for name in _ROWS[start : start + count]]

    def _row(self, name: str) -> Line:
        opened = self.choosing and name == self.row
        return choice_row(
            name, self._value(name), self._options(name), opened=opened, room=self.list_here.room
        )

    def _value(self, name: str) -> str:
        match name:
            case "sessions":
                return ", ".join(map(str, self.ids)) + (
                    f", {self.session.condition.paper or 'no paper named'}" if len(self.ids) == 1 else ""
                )
            case "parts":
                return choices.PARTS[self.choices.parts]
            case "form":
                return choices.FORMS[self.form]
            case "paper":
                return choices.PAPERS[self.choices.paper or "a4"]
            case "observers":
                return choices.NAMES[self.choices.observers]
        return short(self.path, self.list_here.room - VALUE_AT - 2)

    def _options(self, name: str) -> list[str]:
        return choices.options(name, self.forms())

    def _beginning(self, width: int, height: int) -> list[Line]:
        if self.beginning is None:
            return ["   Being made." if self.busy else f"   {_NOT_MADE}"]
        room = min(width - 4, 96)
        rows = [f"  {row}" for group in self.beginning.splitlines() for row in wrapped(group, room)]
        return [*rows] if len(rows) <= height else [*rows[: height - 1], (("  v shows the rest.", "quiet"),)]

    @property
    def row(self) -> str:
        return _ROWS[self.list_here.cursor]

    # Keys -------------------------------------------------------------------------------------------------

    def foot_state(self) -> str:
        if self.writing or self.awaited:
            return "write_up.busy"
        return "write_up.choice" if self.choosing else "write_up"

    def move(self, way: str) -> None:
        if way == "left" and self.choosing:
            self._close()
        else:
            self.list_here.move(way)

    def moved(self) -> None:
        self._close()

    def _close(self) -> None:
        self.choosing = False
        self.list_here.reload()
        self.refresh_foot()

    def back(self) -> None:
        if self.writing or self.awaited:
            self.stop()
        elif self.choosing:
            self._close()
        else:
            super().back()

    def go_to(self, where: str) -> None:
        if where == "next" and not self.session.written:
            self.tell("Nothing else is open: o writes the file.")
        else:
            super().go_to(where)

    def _writing(self) -> bool:
        """Whether a file is being written; then that is told, and nothing else is done."""
        if self.writing:
            self.tell("Being written. Esc stops.")
        return self.writing

    def action_enter(self) -> None:
        if self._writing():
            return
        if self.row == "sessions":
            self.tell("Sessions are marked on Home; g 6 there writes up the marked ones.")
        elif self.row == "file":
            self.type_text(
                "",
                short(self.path),
                self._take_path,
                at=partial(self.list_here.from_column, VALUE_AT),
                about="file",
            )
        else:
            self.choosing = not self.choosing
            self.list_here.reload()
            self.refresh_foot()

    def action_digit(self, digit: str) -> None:
        options = self._options(self.row)
        if self._writing():
            return
        if not options:
            self.tell("Enter opens the row; then letters and digits type.")
            return
        if not 1 <= int(digit) <= len(options):
            self.tell(f"Choices run from 1 to {len(options)}.")
            return
        place = int(digit) - 1
        before = self.choices
        match self.row:
            case "parts":
                self.choices = replace(before, parts=PARTS[place])
            case "observers":
                self.choices = replace(before, observers=NAMINGS[place])
            case "paper":
                self.choices = replace(before, paper=PAPERS[place])
            case "form":
                self.form = self.forms()[place]
                self.path = self.path.with_suffix(self.form)
        self.choosing = False
        if self.choices != before:
            self._build()
        self.refresh_page()

    def _take_path(self, typed: str) -> None:
        """A file, a folder for one, or a name that the form gives its ending. Raises DrydownError."""
        if not typed.strip():
            return
        path = Path(typed.strip()).expanduser()
        if path.is_dir():
            path /= self.path.name
        elif not path.suffix:
            path = path.with_name(f"{path.name}{self.form}")
        write_up.refuse_path(path, overwrite=True)
        self.form, self.path = path.suffix.lower(), path
        self.refresh_page()

    def action_out(self) -> None:
        if self._writing():
            return
        if self.path.exists():
            self.ask(
                f"{self.path.name} exists. Write over it? 1 yes, 0 no.", {"1": partial(self._start, True)}
            )
        else:
            self._start(False)

    def _start(self, overwrite: bool) -> None:
        path, ids, chosen = self.path, self.ids, self.choices

        def work(bench: Bench, tell: Tell) -> Written:
            return write_up.write(bench, ids, path, chosen, overwrite=overwrite, tell=tell)

        self.writing, self.awaited = True, False
        self.start_slow("writing", "Writing", work, "Nothing was written: stopped.", after=SOON)

    def action_view(self) -> None:
        if self._writing():
            return
        if self.beginning is None:  # shown as soon as it is made
            if not self.busy:
                self._build()
            self.awaited = True
            self.tell("Being made. Esc stops.")
            self.refresh_foot()
            return
        whole = self.whole
        self.app.push_screen(
            TextPage(
                self.bench, f"Appendix, {self._value('sessions')}", partial(article, whole), self._slug()
            )
        )

    def as_text(self) -> str:
        return self.whole or self.print_title() + "\n"


def _appendix(ids: Sequence[int], chosen: Choices, width: int, bench: Bench, tell: Tell) -> tuple[str, str]:
    document = write_up.appendix(bench, ids, chosen, tell=tell)
    tell(len(ids) + 1, len(ids) + 2, "the pages")
    whole = write_up.as_text(document)
    article(whole, width)  # laid out here, so that the key that shows it does not wait
    return write_up.beginning(document), whole
