"""Compare: prints as columns, regions as rows, the base kept in sight. What is missing, a thread brings."""

from collections.abc import Callable, Sequence
from functools import partial
from threading import Event
from typing import ClassVar, Final

from textual.app import ComposeResult

from evaluation.session import USES
from evaluation.work import compare, compare_curves, compare_facts, compare_order, compare_words
from evaluation.work.bench import Bench
from evaluation.work.compare_curves import LETTERS, Laying
from evaluation.work.compare_facts import Facts
from evaluation.work.compare_lines import Overlay
from evaluation.work.compare_matrix import By, Column, Matrix, Row
from tui import keys
from tui.messages import Done, Failed
from tui.screens import compare_lines
from tui.screens.page import Page
from tui.screens.text import TextPage
from tui.widgets import head
from tui.widgets.lines import Line, Lines
from tui.widgets.rows import Rows

# Up to so many prints all are compared with all at once; more wait until somebody asks (Tab).
_ALL_AT_ONCE: Final = 8
_LEAST_BELOW: Final = 4  # rows under the matrix: a blank one, the verdicts, words
_VIEWS: Final[tuple[By, ...]] = ("combined", "eye", "instrument")
_SORT_WORDS: Final = {"asked": "as marked", "row": "by {}", "verdict": "by verdict {}"}


class Compare(Page):
    """The matrix above, the cell under the cursor in words below; a row opens to its curves."""

    PAGE = "compare"
    BINDINGS = keys.bindings("compare")
    TEXT = (
        "Prints as columns, regions as rows; each differs from the base by a word. Alike: within the repeats "
        "of both. Measured: beyond them, not seen. Visible: large enough to see. Enter opens the curves."
    )
    CSS: ClassVar[str] = """
    Compare > #heading { height: 4; }
    Compare > Rows { height: 10; }
    """

    def __init__(self, bench: Bench, session_ids: Sequence[int]) -> None:
        super().__init__(bench)
        self.ids = tuple(session_ids)
        self.matrix: Matrix = compare.at_once(bench, self.ids)
        self.use: str = compare.use_of(self.matrix)
        self.by: By = "combined"
        self.sort: compare_order.Sort = "asked"
        self.sort_row = ""
        self.group: compare_order.Group = ""
        self.only_differing = False
        self.here = 0  # 0 is the base, then the others in their order
        self.first = 0  # of the others, the first in sight
        self.opened = False
        self.other = 0
        self.layings: dict[tuple[str, tuple[int, ...]], Laying] = {}
        self.facts: dict[int, Facts] = {}
        self.stopping: Event | None = None  # set to stop the work that is under way
        self.words_wanted = False
        self.said = compare_lines.NOTE
        self._arranged: tuple[Column, ...] = ()
        self._visible: tuple[Row, ...] = ()
        self._arrange()

    def body(self) -> ComposeResult:
        yield Lines(id="heading")
        yield Rows(id="regions")
        yield Lines(id="below")

    def on_mount(self) -> None:
        self._show_rows()
        self._complete()

    def on_unmount(self) -> None:
        self._stop()

    # What is shown ----------------------------------------------------------------------------------------

    def _arrange(self) -> None:
        self._arranged = compare_order.arranged(
            self.matrix,
            sort=self.sort,
            region=self.sort_row,
            use=self.use,
            by=self.by,
            group=self.group,
        )
        differing = self.only_differing and not self.matrix.missing
        self._visible = compare_order.differing(self.matrix) if differing else self.matrix.rows

    @property
    def in_sight(self) -> tuple[Column, ...]:
        """The base, and the window of the others."""
        others = compare_order.window(self._arranged, self.first, compare_lines.room(self.size.width))
        return (self.matrix.column(self.matrix.base), *others)

    @property
    def current(self) -> Column:
        return self.matrix.column(self.matrix.base) if self.here == 0 else self._arranged[self.here - 1]

    @property
    def row(self) -> Row | None:
        at = self.query_one(Rows).cursor
        return self._visible[at] if at < len(self._visible) else None

    @property
    def tall(self) -> bool:
        """Whether the matrix stays above an opened row."""
        return self.size.width >= 118 and self.size.height >= 34

    @property
    def _heading_height(self) -> int:
        return 5 if self.group else 4

    def session_in_hand(self) -> int:
        return self.current.session

    def foot_state(self) -> str:
        if self.stopping is not None:
            return "compare.busy"
        return "compare.row" if self.opened else "compare"

    def head_lines(self, width: int) -> Sequence[Line]:
        left = f"Compare, {len(self.ids)} prints, {compare_words.FOR_USE[self.use]}"
        return head.plain_head(
            left, f"{compare_lines.BY_WORDS[self.by]}; base: session {self.matrix.base}", width
        )

    def _show_rows(self) -> None:
        self.query_one(Rows).show(self._rows, len(self._visible))

    def _rows(self, start: int, count: int) -> list[Line]:
        shown, width = self.in_sight, self.size.width
        return [
            compare_lines.row(self.matrix, each, shown, self.by, width)
            for each in self._visible[start : start + count]
        ]

    def repaint(self) -> None:
        alone = self.opened and not self.tall
        self._in_sight()
        rows = self.query_one(Rows)
        rows.display = self.one("heading").display = not alone
        self.one("heading").styles.height = self._heading_height
        free = self.size.height - self.HEAD_HEIGHT - 2 - self._heading_height - _LEAST_BELOW
        rows.styles.height = max(1, min(len(self._visible), free))
        rows.reload()
        self._heading()
        self._below()
        if self.opened:
            self._fetch()

    def _heading(self) -> None:
        shown, width = self.in_sight, self.size.width
        at = 0 if self.here == 0 else self.here - self.first
        hidden = (self.first, len(self._arranged) - self.first - (len(shown) - 1))
        self.one("heading").show(compare_lines.heading(self.matrix, shown, at, self.group, width, hidden))

    def _below(self) -> None:
        width = self.size.width
        free = self.size.height - self.HEAD_HEIGHT - 2
        if not self.opened or self.tall:
            free -= self._heading_height + int(self.query_one(Rows).styles.height.value)  # type: ignore[union-attr]
        if self.opened:
            table: list[Line] = [(("─" * width, "rule"),)] if self.tall else []
            self.one("below").show([*table, *self._opened(width, free - len(table))])
            return
        table = ["", compare_lines.verdicts(self.in_sight, self.use, width)]
        if free > 5:
            table.append("")
        words = compare_lines.below(self.matrix, self.row, self.current, self.use, width, free - len(table))
        self.one("below").show([*table, *words])

    def _opened(self, width: int, height: int) -> list[Line]:
        row = self.row
        if row is None:
            return []
        laying = self.layings.get((row.id, self._drawn()))
        shown = list(zip(LETTERS, self.in_sight, strict=False))
        curve = self._curve(laying)
        left = laying.left if laying is not None else ()
        return compare_lines.opened(self.matrix, row, shown, curve, self.facts, left, self.by, width, height)

    def _curve(self, laying: Laying | None) -> Overlay | None:
        return laying.curves[self.other % len(laying.curves)] if laying and laying.curves else None

    def _drawn(self) -> tuple[int, ...]:
        return tuple(column.session for column in self.in_sight)

    def _in_sight(self) -> None:
        """Keep the current print in the window."""
        room = compare_lines.room(self.size.width)
        at = max(0, self.here - 1)
        self.first = max(0, min(self.first, at, len(self._arranged) - room))
        if at >= self.first + room:
            self.first = at - room + 1

    # Work in threads --------------------------------------------------------------------------------------

    def _complete(self, *, every_pair: bool = False) -> None:
        """Work out what is not stored yet: first against the base, then, for a few prints, all with all."""
        few = len(self.ids) <= _ALL_AT_ONCE
        if self.matrix.unweighed or self.matrix.missing:
            self._work(every_pair=False)
        elif (few or every_pair) and compare_words.groups(self.matrix, self.use) is None:
            self._work(every_pair=True)

    def _work(self, *, every_pair: bool) -> None:
        self._stop()
        self.stopping = stopping = Event()
        ids, base = self.ids, self.matrix.base
        self.start_job(
            "comparing",
            lambda bench, tell: compare.worked_out(
                bench, ids, base, every_pair=every_pair, tell=tell, stopped=stopping.is_set
            ),
        )
        self.refresh_foot()

    def _stop(self) -> None:
        if self.stopping is not None:
            self.stopping.set()
            self.stopping = None

    def on_done(self, event: Done) -> None:
        """Comparing and drawing go on side by side, so each answer is judged by what it is about."""
        event.prevent_default()  # the page waits for the newest job only
        if event.job == "comparing":
            if event.value.base != self.matrix.base:
                return  # the base was changed meanwhile; the newer work answers
            self.stopping = None
            self.matrix = event.value
            self.said = compare_lines.NOTE
            self._anew()
            self._complete(every_pair=self.words_wanted)
            if self.words_wanted and self.stopping is None:
                self.action_part()
        elif event.job == "curves":
            laying, facts = event.value
            self.layings[laying.region, tuple(facts)] = laying
            self.facts.update(facts)
            self._below()

    def on_failed(self, event: Failed) -> None:
        event.prevent_default()
        if isinstance(event.problem, compare.Stop):
            if self.stopping is None:
                self.tell(event.problem.sentence)
            return
        self._stop()
        self.show_problem(event.problem)
        self.refresh_page()

    def _fetch(self) -> None:
        row, drawn = self.row, self._drawn()
        if row is not None and (row.id, drawn) not in self.layings:
            self.start_job("curves", partial(_curves, drawn, row.id))

    # Keys -------------------------------------------------------------------------------------------------

    def _anew(self) -> None:
        """After anything that changes which rows or columns there are."""
        current = self.current.session
        self._arrange()
        order = [self.matrix.base, *(column.session for column in self._arranged)]
        self.here = order.index(current) if current in order else 0
        self._show_rows()
        self.refresh_page()

    def move(self, way: str) -> None:
        if way in ("left", "right"):
            wanted = self.here + (1 if way == "right" else -1)
            if way == "left" and self.opened and self.here == 0:
                self._close()
                return
            self.here = max(0, min(wanted, len(self._arranged)))
            before = self._drawn()
            self._in_sight()
            self._heading()
            if self._drawn() != before:
                self.query_one(Rows).reload()
                if self.opened:
                    self._fetch()
            self._below()
        else:
            self.query_one(Rows).move(way)

    def on_rows_moved(self) -> None:
        self.other = 0
        if self.opened:
            self._fetch()
        self._below()

    def on_rows_chosen(self) -> None:
        self.action_enter()

    def action_enter(self) -> None:
        if self.row is not None and not self.opened:
            self.opened, self.other = True, 0
            self.refresh_page()

    def back(self) -> None:
        if self.stopping is not None:
            self._stop()
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
            self._below()
        else:
            self.by = _VIEWS[(_VIEWS.index(self.by) + 1) % len(_VIEWS)]
            self.said = f"Shown: {compare_lines.BY_WORDS[self.by]}. The words rest on all that is known."
            self._anew()

    def action_sort(self) -> None:
        row = self.row
        if row is not None and self.sort == "row" and self.sort_row != row.id:
            self.sort_row = row.id  # another row: sort by that one
        else:
            orders = compare_order.SORTS
            self.sort = orders[(orders.index(self.sort) + 1) % len(orders)]
            self.sort_row = row.id if row is not None else ""
        title = compare_words.lower(row.title) if row is not None else ""
        about = {"row": title, "verdict": compare_words.FOR_USE[self.use]}.get(self.sort, "")
        self.said = f"Papers {_SORT_WORDS[self.sort].format(about)}."
        self._anew()

    def action_use(self) -> None:
        uses = list(USES)
        self.use = uses[(uses.index(self.use) + 1) % len(uses)]  # type: ignore[arg-type]
        self._anew()

    def action_base(self) -> None:
        base = self.current.session
        if base == self.matrix.base:
            self.tell("This is the base already.")
            return
        self._stop()
        self.here = self.first = 0
        self.layings.clear()

        def changed() -> None:
            self.matrix = compare.at_once(self.bench, self.ids, base)
            self.said = f"Base: session {base}."
            self._anew()
            self._complete()

        self.attempt(changed)

    def action_group(self) -> None:
        groups = compare_order.GROUPS
        self.group = groups[(groups.index(self.group) + 1) % len(groups)]
        words = "quality setting" if self.group == "quality" else self.group
        self.said = f"Grouped by {words}." if self.group else "Not grouped."
        self._anew()

    def action_equal(self) -> None:
        if self.matrix.missing:
            self.tell("Not all is compared yet.")
            return
        self.only_differing = not self.only_differing
        hidden = len(self.matrix.rows) - len(compare_order.differing(self.matrix))
        self.said = f"{hidden} rows alike in all are hidden." if self.only_differing else "All rows."
        self._anew()

    def action_find(self) -> None:
        self.type_text("Find", "", self._find)

    def _find(self, wanted: str) -> None:
        order = [self.matrix.column(self.matrix.base), *self._arranged]
        for step in range(1, len(order) + 1):
            at = (self.here + step) % len(order)
            column = order[at]
            name = f"{column.session} {compare_words.name(self.matrix, column)}"
            if wanted.casefold() in name.casefold():
                self.here = at
                self.refresh_page()
                return
        self.tell("No paper here is called so.")

    def action_part(self) -> None:
        """The groups in words; where not all were compared with all, that comes first."""
        if compare_words.groups(self.matrix, self.use) is None and self.stopping is None:
            self.words_wanted = True
            self._complete(every_pair=True)
            return
        self.words_wanted = False
        page = partial(compare_lines.words_page, self.matrix, self.use)
        title = f"Compare, {len(self.ids)} prints, in words"
        self.drydown.push_screen(TextPage(self.bench, title, page, "compare-words"))

    def as_text(self) -> str:
        shown = (self.matrix.column(self.matrix.base), *self._arranged)
        return compare_lines.as_text(self.matrix, shown, self.use, self.by)


def _curves(
    drawn: tuple[int, ...], region: str, bench: Bench, _progress: Callable[[str], None]
) -> tuple[Laying, dict[int, Facts]]:
    laying = compare_curves.laid_over(bench, drawn, region)
    return laying, {one: compare_facts.facts(bench, one) for one in drawn}
