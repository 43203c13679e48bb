"""What stands where in Compare: which prints are in sight, which is the current one, in which order."""

from collections.abc import Sequence
from typing import Final

from evaluation.judgement.matrix import By, Matrix, PrintColumn, RegionRow
from evaluation.plain_text import lower_first
from evaluation.session import USES, for_use
from evaluation.telling import comparison as compare_words
from evaluation.work.bench import Bench
from evaluation.work.compare import compare
from evaluation.work.compare import order as compare_order

_VIEWS: Final[tuple[By, ...]] = ("eye", "combined", "instrument")
_SORT_WORDS: Final = {"asked": "as marked", "row": "by {}", "verdict": "by verdict {}"}


class Table:
    """A matrix and how it is looked at. Each change keeps the current print where that still exists."""

    def __init__(self, bench: Bench, session_ids: Sequence[int]) -> None:
        self.ids = tuple(session_ids)
        self.matrix: Matrix = compare.at_once(bench, self.ids)
        self.use: str = compare.use_of(self.matrix)
        self.by: By = "eye"
        self.group: compare_order.Group = ""
        self.only_differing = False
        self.here = 0  # 0 is the base, then the others in their order
        self.first = 0  # of the others, the first in sight
        self._sort: compare_order.Sort = "asked"
        self._sort_row = ""
        self.others: tuple[PrintColumn, ...] = ()
        self.rows: tuple[RegionRow, ...] = ()
        self.words = ""  # what differs, worked out once for all steps of the cursor
        self.ranking = ""  # the prints in order, or why they have none
        self.arrange()

    def show(self, matrix: Matrix) -> None:
        """Another state of the same comparison, or another base."""
        self.matrix = matrix
        self.arrange()

    def arrange(self) -> None:
        """Order, groups and rows anew."""
        current = self.current.session if self.others else self.matrix.base
        self.others = compare_order.arranged(
            self.matrix,
            sort=self._sort,
            region=self._sort_row,
            use=self.use,
            by=self.by,
            group=self.group,
        )
        differing = self.only_differing and not self.matrix.missing
        self.rows = compare_order.differing(self.matrix) if differing else self.matrix.rows
        self.words = " ".join(compare_words.sentences(self.matrix, self.use))
        self.ranking = compare_words.in_order(self.matrix, self.use)
        order = [self.matrix.base, *(column.session for column in self.others)]
        self.here = order.index(current) if current in order else 0

    @property
    def base(self) -> PrintColumn:
        return self.matrix.column(self.matrix.base)

    @property
    def current(self) -> PrintColumn:
        return self.base if self.here == 0 else self.others[self.here - 1]

    def in_sight(self, room: int) -> tuple[PrintColumn, ...]:
        """The base, and a window of so many others with the current one among them."""
        at = max(0, self.here - 1)
        self.first = max(0, min(self.first, at, len(self.others) - room))
        if at >= self.first + room:
            self.first = at - room + 1
        return (self.base, *compare_order.window(self.others, self.first, room))

    def step(self, by: int) -> None:
        """To the print on the right (1) or the left (-1), as far as there are any."""
        self.here = max(0, min(self.here + by, len(self.others)))

    def find(self, wanted: str) -> bool:
        """To the next print whose number or name holds these letters."""
        order = (self.base, *self.others)
        for step in range(1, len(order) + 1):
            at = (self.here + step) % len(order)
            name = f"{order[at].session} {compare_words.name(self.matrix, order[at])}"
            if wanted.casefold() in name.casefold():
                self.here = at
                return True
        return False

    def next_sort(self, row: RegionRow | None) -> str:
        """By the row under the cursor, by verdict, as marked; on another row, by that one. In words."""
        region = row.id if row is not None else ""
        if not (self._sort == "row" and self._sort_row != region):
            orders = compare_order.SORTS
            self._sort = orders[(orders.index(self._sort) + 1) % len(orders)]
        self._sort_row = region
        self.arrange()
        title = lower_first(row.title) if row is not None else ""
        about = {"row": title, "verdict": for_use(self.use)}.get(self._sort, "")
        return f"Papers {_SORT_WORDS[self._sort].format(about)}."

    def next_view(self) -> None:
        """The eye's grades, the combined ones, the readings'."""
        self.by = _VIEWS[(_VIEWS.index(self.by) + 1) % len(_VIEWS)]
        self.arrange()

    def next_use(self) -> None:
        uses = list(USES)
        self.use = uses[(uses.index(self.use) + 1) % len(uses)]  # type: ignore[arg-type]
        self.arrange()

    def next_group(self) -> str:
        """By the next thing that papers can be grouped by, at the end by none. In words."""
        groups = compare_order.GROUPS
        self.group = groups[(groups.index(self.group) + 1) % len(groups)]
        self.arrange()
        words = "quality setting" if self.group == "quality" else self.group
        return f"Grouped by {words}." if self.group else "Not grouped."

    def toggle_equal(self) -> str:
        """Hide the rows in which all are alike, or show them. In words."""
        if self.matrix.missing:
            return "Not all is compared yet."
        self.only_differing = not self.only_differing
        self.arrange()
        hidden = len(self.matrix.rows) - len(self.rows)
        return f"{hidden} rows alike in all are hidden." if self.only_differing else "All rows."
