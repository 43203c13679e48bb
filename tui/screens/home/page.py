"""Home: the sessions, newest first, and beside them what is known of the one under the cursor."""

from collections.abc import Sequence
from typing import Final

from textual.app import ComposeResult
from textual.timer import Timer

from evaluation.archive.session_list import ListedSession, Order
from evaluation.work import home
from evaluation.work.bench import Bench
from tui import keys
from tui.screens.base.page import Page
from tui.screens.home import lines as home_lines
from tui.screens.home.side_panels import Beside
from tui.widgets import head
from tui.widgets.lines import Line
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_SORTS: Final[dict[Order, str]] = {
    "newest": "newest first",
    "touched": "last worked on first",
    "printed": "last printed first",
    "paper": "by paper",
    "printer": "by printer",
    "state": "by state",
}
_REMOVED: Final = "Sessions that were removed; Enter brings one back."
_OF_MARKED: Final = ("write_up", "compare", "sidebyside", "neutrality", "bundle")
_REST: Final = 0.04  # seconds after which the cursor rests
_STATES: Final = (
    "", "describing", "preparing", "looking", "reading", "weighed", "written up", home.REMOVED,
)  # fmt: skip


class Home(Page):
    """The list asks for what is in sight; the lower half loads one session, after the first frame."""

    PAGE = "home"
    BINDINGS = keys.bindings("home")
    TEXT = (
        "Your sessions, newest first; below or beside them what comes next for the one under the cursor. "
        "Enter goes on where you stopped; g and a number opens a step. v shows one state after the other, at "
        "last what was removed, from where Enter brings it back."
    )

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.match = ""
        self.view = ""
        self.order: Order = "newest"
        self.marked: dict[int, None] = {}  # in the order of marking
        self.removed: list[int] = []  # since this page opened, newest last: what u brings back
        self.off = 0  # how many are removed in all
        self.heads: dict[int, ListedSession] = {}  # by row, as far as they were in sight
        self.kept_from: frozenset[int] = frozenset()  # sessions that somebody else is about to look at
        self.count = 0
        self.stale = True
        self.known: home.Next | None = None
        self.resting: Timer | None = None

    def body(self) -> ComposeResult:
        with Frame("list", "Sessions"):
            yield Panel("heading", classes="flat")
            yield RowList("sessions", moved=self.moved, chosen=self.action_enter)
        yield Beside(id="beside")

    def foot_state(self) -> str:
        if self.view == home.REMOVED:
            return "home.removed"
        if self.count or self.match or self.view:
            return "home"
        return "home.bare" if self.off else "home.empty"

    def head_lines(self, width: int) -> Sequence[Line]:
        self._count()
        parts = [f"“{self.match}”" if self.match else "", self.view]
        parts.append(f"{self.count} session{'' if self.count == 1 else 's'}")
        return head.plain_head("drydown", ", ".join(part for part in parts if part), width)

    def repaint(self) -> None:
        self._count()
        self.one("heading").show(self._heading)
        self.list_here.show(self._rows, self.count)
        self.query_one(Beside).display = self.count > 0
        self.call_after_refresh(self._coming)

    def _heading(self, width: int, height: int) -> Sequence[Line]:
        if self.count:
            return [home_lines.heading(width, self.view == home.REMOVED)]
        if self.match or self.view:
            return ["", "   No session is like that. Esc shows all again."]
        return home_lines.nothing(self.off, width)

    def came_back(self) -> None:
        """Others may have been at the archive, and a merge been taken back: marks stay on what is there."""
        self.stale = True
        there = home.of_these(self.bench, self.marked) if self.marked else frozenset[int]()
        self.marked = {number: None for number in self.marked if number in there}
        self.refresh_page()

    # The list ---------------------------------------------------------------------------------------------

    def _count(self) -> None:
        if self.stale:
            self.stale = False
            self.heads.clear()
            self.kept_from = home.kept_from(self.bench, self.desk.observers)
            self.off = home.count(self.bench, removed=True)
            self.count = home.count(self.bench, self._words(), removed=self.view == home.REMOVED)

    def _words(self) -> str:
        return f"{self.match} {'' if self.view == home.REMOVED else self.view}".strip()

    def _heads(self, start: int, count: int) -> Sequence[ListedSession]:
        off = self.view == home.REMOVED
        return home.heads(
            self.bench, match=self._words(), order=self.order, removed=off, offset=start, limit=count
        )

    def _rows(self, start: int, count: int) -> list[Line]:
        found = self._heads(start, count)
        self.heads.update(enumerate(found, start))
        return [self._row(each) for each in found]

    def _row(self, each: ListedSession) -> Line:
        state, marked = home.state(self.bench, each), each.id in self.marked
        return home_lines.row(each, state, self._verdict(each), marked, self.list_here.room)

    def _verdict(self, each: ListedSession) -> str | None:
        return None if each.id in self.kept_from else home.verdict(each)

    def here(self) -> ListedSession | None:
        if (row := self.list_here.cursor) not in self.heads and row < self.count:
            self.list_here.listed(row)
        return self.heads.get(row)

    def moved(self) -> None:
        """The list first; the lower half when the cursor rests."""
        if self.resting is not None:
            self.resting.stop()
        self.resting = self.set_timer(_REST, self._coming)

    def _coming(self) -> None:
        """The lower half. It loads a session, so the first frame does not wait for it."""
        each = self.here()
        beside = self.query_one(Beside)
        if each is None or not self.attempt(lambda: self._know(each.id)):
            return
        if self.marked and not self.said:
            self.tell(f"{len(self.marked)} marked.")
        self.query_one("#list", Frame).called("Sessions", f"{self.list_here.cursor + 1} of {self.count}")
        if self.known is not None:
            beside.about(each, self.known, self._verdict(each), plain_signs=self.desk.config.plain_signs)

    def _know(self, number: int) -> None:
        self.known = home.coming(self.bench, number, self.desk.observers.get(number))

    # Keys -------------------------------------------------------------------------------------------------

    def session_in_hand(self) -> int | None:
        each = self.here()
        return each.id if each else None

    def go_to(self, where: str) -> None:
        if where == "home":
            return
        if where in ("plan", "merge") or where.startswith("tools"):
            self.desk.go(where, self.session_in_hand())
            return
        if self._kept_off():
            return
        others = tuple(self.marked) if where in _OF_MARKED else ()
        session_id = others[0] if others else self.session_in_hand()
        if session_id is None:
            self.tell("No session is under the cursor; n begins one.")
        else:
            self.desk.go(where, session_id, others)

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def action_enter(self) -> None:
        each = self.here()
        if not (self.count or self.off or self.match or self.view):
            self.action_new()
        elif self.view == home.REMOVED and each is not None:
            self._bring_back(each.id, f"Session {each.id} is back on the list.")
        else:  # where nothing is to be done any more one wants the result
            self.go_to("next" if each is None or home.coming(self.bench, each.id).step else "weigh")

    def _kept_off(self) -> bool:
        """Whether the session under the cursor is a removed one, which is said: nothing is done with it."""
        each = self.here()
        if each is None or each.removed is None:
            return False
        self.tell(f"Session {each.id} is removed; Enter brings it back.")
        return True

    def back(self) -> None:
        """The filter goes first, then the marks."""
        if self.match or self.view:
            self.match = self.view = ""
            self._anew("")
        elif self.marked:
            self.marked.clear()
            self._anew("")

    def action_mark(self) -> None:
        each = self.here()
        if each is None or self._kept_off():
            return
        if each.id in self.marked:
            del self.marked[each.id]
        else:
            self.marked[each.id] = None
        self.tell(f"{len(self.marked)} marked." if self.marked else "")
        self.list_here.reload()

    def action_find(self) -> None:
        self.type_text("Find", self.match, self._find, changed=self._find)

    def _find(self, typed: str) -> None:
        """At every letter: the list narrows as one types."""
        if typed.strip() != self.match:
            self.match = typed.strip()
            self._anew("", to_top=True)

    def action_sort(self) -> None:
        orders = list(_SORTS)
        self.order = orders[(orders.index(self.order) + 1) % len(orders)]
        self._anew(f"Sessions {_SORTS[self.order]}.", to_top=True)

    def show_removed(self) -> None:
        """The sessions that were taken off the list, or that there are none."""
        self.match, self.view = "", home.REMOVED if self._any(home.REMOVED) else ""
        self._anew(_REMOVED if self.view else "No session was removed.", to_top=True)

    def action_view(self) -> None:
        """The next state that some session is in, then all again."""
        after = (*_STATES[_STATES.index(self.view) + 1 :], "")
        self.view = next(each for each in after if not each or self._any(each))
        words = f"Only sessions in the state: {self.view}." if self.view else "All sessions."
        if self.view == home.REMOVED:
            words = _REMOVED
        self._anew(words, to_top=True)

    def _any(self, view: str) -> int:
        if view == home.REMOVED:
            return home.count(self.bench, self.match, removed=True)
        return home.count(self.bench, f"{self.match} {view}".strip())

    def action_new(self) -> None:
        from evaluation.session import PrintingCondition
        from evaluation.work.describe import begin  # only when a session is begun

        each = self.here()

        def made() -> None:
            if each is None:
                session = begin.begin(self.bench, PrintingCondition(), {})
            else:
                session = begin.begin_like(self.bench, each.id)
            self.match = self.view = ""
            self.desk.go("describe", session.id)

        self.attempt(made)

    def action_remove(self) -> None:
        each = self.here()
        if each is None or self._kept_off():
            return
        if self.attempt(lambda: home.remove(self.bench, each.id)):
            self.removed.append(each.id)
            self.marked.pop(each.id, None)
            self._anew(f"Session {each.id} removed. u brings it back now, the view “removed” at any time.")

    def action_undo(self) -> None:
        if not self.removed:
            self.tell("Nothing left to undo here.")
            return
        self._bring_back(self.removed[-1], f"Undone: session {self.removed[-1]} is back.")

    def _bring_back(self, session_id: int, said: str) -> None:
        if self.attempt(lambda: home.bring_back(self.bench, session_id)):
            self.removed = [one for one in self.removed if one != session_id]
            self.view = "" if self.view == home.REMOVED and not self._any(self.view) else self.view
            self._anew(said)

    def _anew(self, sentence: str, *, to_top: bool = False) -> None:
        self.stale = True
        self.said = sentence
        if to_top:
            self.list_here.cursor = 0
        self.refresh_page()

    def as_text(self) -> str:
        rows = [self._row(each) for each in self._heads(0, 1000)]
        return "\n".join(str(row).rstrip() for row in rows) + "\n"
