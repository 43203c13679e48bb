"""Compare: prints as columns, regions as rows, the base kept in sight. What is missing, a thread brings."""

from collections.abc import Sequence
from functools import partial

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.judgement import standing
from evaluation.judgement.matrix import PrintColumn, RegionRow
from evaluation.session import for_use
from evaluation.telling.figure import Figure as Overlay
from evaluation.work.bench import Bench
from evaluation.work.compare import compare
from evaluation.work.compare.curves import LETTERS, Laying
from tui import keys
from tui.screens.base.copies import Copied
from tui.screens.base.text import TextPage
from tui.screens.compare import lines, opened
from tui.screens.compare.table import Table
from tui.screens.compare.widths import room
from tui.screens.compare.work import ComparingPage
from tui.widgets import head
from tui.widgets.lines import Line
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList


class Compare(ComparingPage):
    """The matrix above, the cell under the cursor in words below; a row opens to its curves."""

    PAGE = "compare"
    BINDINGS = keys.bindings("compare")
    TEXT = (
        "Prints as columns, regions as rows; a word says how each stands to the base by readings and grades. "
        "No word is a judgement side by side. Enter opens the curves, Tab says what the words mean."
    )

    def __init__(self, bench: Bench, session_ids: Sequence[int]) -> None:
        super().__init__(bench)
        self.table = Table(bench, session_ids)
        self.opened = False
        self.other = 0
        self.said = lines.NOTE

    def body(self) -> ComposeResult:
        with Frame("list"):
            yield Panel("heading", classes="flat")
            yield RowList("regions", moved=self.moved, chosen=self.action_enter)
            yield Panel("verdicts", classes="flat")
        yield Panel("opened", classes="panel here")
        yield Panel("below")
        yield ProgressBar(show_eta=False)

    def on_mount(self) -> None:
        self._show_rows()
        self.complete()

    def on_unmount(self) -> None:
        self.stop()

    # What is shown ----------------------------------------------------------------------------------------

    @property
    def in_sight(self) -> tuple[PrintColumn, ...]:
        """The base, and the window of the others."""
        return self.table.in_sight(room(self._room))

    @property
    def _room(self) -> int:
        """Columns of the matrix, whether or not an opened row lies over it."""
        if self.size.width < 120:
            return self.size.width
        return self.size.width - 2 if self.opened else self.size.width * 2 // 3 - 2

    @property
    def row(self) -> RegionRow | None:
        at = self.list_here.cursor
        return self.table.rows[at] if at < len(self.table.rows) else None

    def session_in_hand(self) -> int:
        return self.table.current.session

    def foot_state(self) -> str:
        if self.stopping is not None:
            return "compare.busy"
        return "compare.row" if self.opened else "compare"

    def head_lines(self, width: int) -> Sequence[Line]:
        left = f"Compare, {len(self.table.ids)} prints, {for_use(self.table.use)}"
        return head.plain_head(
            left, f"{lines.BY_WORDS[self.table.by]}; base: session {self.matrix.base}", width
        )

    def _show_rows(self) -> None:
        self.list_here.show(self._rows, len(self.table.rows))

    def _rows(self, start: int, count: int) -> list[Line]:
        shown, width = self.in_sight, self._room
        return [
            lines.row(self.matrix, each, shown, self.table.by, width)
            for each in self.table.rows[start : start + count]
        ]

    def repaint(self) -> None:
        self.set_class(self.opened, "-opened")
        title = lines.BY_WORDS[self.table.by]
        self.query_one("#list", Frame).called(title[:1].upper() + title[1:])
        self.list_here.reload()
        self._heading()
        self.below()
        if self.opened:
            self.fetch()

    def _heading(self) -> None:
        self.one("heading").show(self._heading_lines)
        self.one("verdicts").show(
            lambda width, height: [lines.verdicts(self.matrix, self.in_sight, self.table.use, width)]
        )

    def _heading_lines(self, width: int, height: int) -> Sequence[Line]:
        shown, table = self.in_sight, self.table
        at = 0 if table.here == 0 else table.here - table.first
        hidden = (table.first, len(table.others) - table.first - (len(shown) - 1))
        return lines.heading(self.matrix, shown, at, table.group, width, hidden)

    def below(self) -> None:
        """The cell under the cursor in words; the row opened to its curves."""
        self.one("below").called(*self._here())
        self.one("below").show(self._below)
        if self.opened:
            self.one("opened").called(self.row.title if self.row is not None else "")
            self.one("opened").show(self._opened)

    def _here(self) -> tuple[str, str]:
        """Region and print under the cursor."""
        return (self.row.title, f"session {self.table.current.session}") if self.row is not None else ("", "")

    def _below(self, width: int, height: int) -> Sequence[Line]:
        now = self.table
        return lines.below(now.matrix, self.row, now.current, now.words, now.ranking, width, height)

    def _opened(self, width: int, height: int) -> list[Line]:
        row = self.row
        if row is None:
            return []
        laying = self.layings.get((row.id, self.drawn()))
        shown = list(zip(LETTERS, self.in_sight, strict=False))
        curve = self._curve(laying)
        left = laying.left if laying is not None else ()
        return opened.opened(self.matrix, row, shown, curve, self.facts, left, self.table.by, width, height)

    def _curve(self, laying: Laying | None) -> Overlay | None:
        return laying.curves[self.other % len(laying.curves)] if laying and laying.curves else None

    def drawn(self) -> tuple[int, ...]:
        return tuple(column.session for column in self.in_sight)

    # Keys -------------------------------------------------------------------------------------------------

    def anew(self, sentence: str = "") -> None:
        """After anything that changes which rows or columns there are."""
        if sentence:
            self.said = sentence
        self._show_rows()
        self.refresh_page()

    def move(self, way: str) -> None:
        if way not in ("left", "right"):
            self.list_here.move(way)
        elif way == "left" and self.opened and self.table.here == 0:
            self._close()
        else:
            before = self.drawn()
            self.table.step(1 if way == "right" else -1)
            self._heading()
            if self.drawn() != before:
                self.list_here.reload()
                if self.opened:
                    self.fetch()
            self.below()

    def moved(self) -> None:
        self.other = 0
        if self.opened:
            self.fetch()
        self.below()

    def action_enter(self) -> None:
        if self.row is not None and not self.opened:
            self.opened, self.other = True, 0
            self.refresh_page()

    def back(self) -> None:
        if self.stopping is not None:
            self.stop()
            self.refresh_foot()
        elif self.opened:
            self._close()
        else:
            super().back()

    def _close(self) -> None:
        self.opened = False
        self.refresh_page()

    def action_view(self) -> None:
        if self.opened:
            self.other += 1
            self.below()
        else:
            self.table.next_view()
            shown = lines.BY_WORDS[self.table.by]
            rest = " The words rest on all that is known." if self.table.by == "combined" else ""
            self.anew(f"Shown: {shown}.{rest}")

    def action_sort(self) -> None:
        self.anew(self.table.next_sort(self.row))

    def action_use(self) -> None:
        self.table.next_use()
        self.anew()

    def action_base(self) -> None:
        base = self.table.current.session
        if base == self.matrix.base:
            self.tell("This is the base already.")
            return
        self.stop()
        self.layings.clear()

        def changed() -> None:
            self.table.show(compare.at_once(self.bench, self.table.ids, base))
            self.anew(f"Base: session {base}.")
            self.complete()

        self.attempt(changed)

    def action_group(self) -> None:
        self.anew(self.table.next_group())

    def action_equal(self) -> None:
        self.anew(self.table.toggle_equal())

    async def action_wider(self) -> None:
        """The gamuts of these prints' settings, the base first."""
        from tui.screens.gamut.page import StepThrough

        ids = [self.matrix.base, *(one for one in self.table.ids if one != self.matrix.base)]
        await self.app.push_screen(StepThrough(self.bench, ids))

    def action_find(self) -> None:
        self.type_text("Find", "", self._find)

    def _find(self, wanted: str) -> None:
        if self.table.find(wanted):
            self.refresh_page()
        else:
            self.tell("No paper of that name.")

    def action_part(self) -> None:
        """The groups in words; where not all were compared with all, that comes first."""
        if standing.groups(self.matrix, self.table.use) is None and self.stopping is None:
            self.words_wanted = True
            self.complete(every_pair=True)
            return
        self.words_wanted = False
        page = partial(lines.words_page, self.matrix, self.table.use)
        title = f"Compare, {len(self.table.ids)} prints, in words"
        self.app.push_screen(TextPage(self.bench, title, page, "compare-words"))

    def copies(self) -> Sequence[Copied]:
        page, table = Copied("the page", self.as_text(), self.file_name()), self.table
        cells = lines.tabbed_table(table.matrix, (table.base, *table.others), table.use, table.by)
        if self.row is None:
            return [page, Copied("the table", cells, "compare.tsv")]
        about = lines.quoted(table.matrix, self.row, table.current)
        return [
            page,
            Copied("the table", cells, "compare.tsv"),
            Copied("this cell as a sentence", about, "compare-cell.txt"),
        ]

    def as_text(self) -> str:
        table = self.table
        return lines.as_text(table.matrix, (table.base, *table.others), table.use, table.by)
