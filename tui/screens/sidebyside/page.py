"""Side by side: two prints at a time under letters, a digit for each pair; then how far they are apart."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Final

from textual.app import ComposeResult

from evaluation.judgement.beside.design import THREES_FROM
from evaluation.plain_text import listed
from evaluation.rounds import ASKED, Named, Round
from evaluation.telling import beside
from evaluation.telling.jnd_ruler import jnd_ruler
from evaluation.work.bench import Bench
from evaluation.work.sidebyside import document, sidebyside
from tui import keys
from tui.screens.base.page import Page
from tui.screens.base.text import TextPage
from tui.screens.sidebyside import lines, ruler
from tui.screens.sidebyside.triangle import TrianglePage
from tui.widgets import head
from tui.widgets.lines import Line
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_TIMES: Final = (12, 20, 6, 3)
_NAMED: Final[dict[str, Named]] = {"1": "left", "2": "right", "0": "none"}


class SideBySide(Page):
    """The regions to judge and what is known; while a round is answered, nothing but its two letters."""

    PAGE = "sidebyside"
    BINDINGS = keys.bindings("sidebyside")
    TEXT = (
        "Which print is better, two at a time, under letters. Space chooses regions; Enter draws letters, "
        "or goes on with what waits. p writes slips to lay on the prints; somebody else does it best. Then 1 "
        "names the print on the left, 2 the one on the right, 0 neither. The end tells which was which."
    )

    def __init__(self, bench: Bench, session_ids: Sequence[int]) -> None:
        super().__init__(bench)
        self.ids = tuple(session_ids)
        found = sidebyside.prints_of(bench, self.ids)
        self.regions = sidebyside.regions_of(bench, found, all_of=True)
        self.chosen = {one.id for one in sidebyside.regions_of(bench, found)}
        self.times = _TIMES[0]
        self.question = "better"
        self.at_once = 2
        self.round: Round | None = None  # that is being answered
        self.found = sidebyside.result(bench, self.ids)

    def body(self) -> ComposeResult:
        with Frame("list", "Regions"):
            yield RowList("regions", moved=self.refresh_page, chosen=self.action_mark)
        yield Panel("told", "So far")
        yield Panel("pair", classes="panel here")

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head(f"Side by side: sessions {listed([str(one) for one in self.ids])}", "", width)

    def session_in_hand(self) -> int:
        return self.ids[0]

    def foot_state(self) -> str:
        if self.round is None:
            return "sidebyside"
        return "sidebyside.round" if self.round.three_at_once is None else "sidebyside.three"

    # Drawing ----------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        self.set_class(self.round is not None, "-answering")
        if self.round is not None:
            drawn = lines.pair if self.round.three_at_once is None else lines.three
            self.one("pair").show(partial(drawn, self.round, self._titles[self.round.region]))
            return
        about = lines.chosen(len(self.ids), len(self.chosen), self.times, self.question, self.at_once)
        self.query_one("#list", Frame).called("Regions", about)
        self.list_here.show(self._rows, len(self.regions))
        self.one("told").called("So far", ruler.LEGEND if self.found.regions else "")
        self.one("told").show(lambda width, height: self._told_lines(width)[:height])

    def _rows(self, start: int, count: int) -> list[Line]:
        room = self.list_here.room - 2
        return [
            lines.region(one.title, one.shows, one.id in self.chosen, room)
            for one in self.regions[start : start + count]
        ]

    def _told_lines(self, width: int) -> list[Line]:
        """What waits; of each region its ruler; what limits all of it. Every sentence is behind v."""
        if not self.found.regions:
            return lines.paragraphs(self._told(), width)
        shown = lines.paragraphs(self._waiting(), width)
        for one in sorted(self.found.regions, key=lambda one: one.rounds[-1].id, reverse=True):
            shown += [((f"  {lines.asked(one.title, one.ask, len(one.observers))}", "strong"),)]
            shown += ruler.ruler(jnd_ruler(one), width)
        return [*shown, *lines.paragraphs(document.remarks(self.found), width)]

    def _waiting(self) -> list[str]:
        return [beside.waiting(one, self._titles[one.region]) for one in self.found.waiting]

    def _told(self) -> list[str]:
        waiting = self._waiting()
        before = [] if waiting else [beside.before(len(self.ids), len(self.chosen), self.times, self.at_once)]
        return [*waiting, *document.told(self.found), *before]

    def action_view(self) -> None:
        """Every sentence, with the rulers, as a page to read."""
        if self.round is None:
            self.app.push_screen(TextPage(self.bench, "Side by side", self._in_full, "side-by-side"))

    def _in_full(self, width: int) -> list[Line]:
        return ["", *self._told_lines(width), f"  {ruler.LEGEND}", "", *lines.paragraphs(self._told(), width)]

    @property
    def _titles(self) -> dict[str, str]:
        return {one.id: one.title for one in self.regions}

    def as_text(self) -> str:
        return "\n".join(self._told()) + "\n"

    # Choosing ---------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if self.round is None:
            self.list_here.move(way)

    def action_mark(self) -> None:
        if self.round is None:
            self.chosen ^= {self.regions[self.list_here.cursor].id}
            self.refresh_page()

    def action_times(self) -> None:
        if self.round is None:
            self.times = _TIMES[(_TIMES.index(self.times) + 1) % len(_TIMES)]
            self.refresh_page()

    def action_three(self) -> None:
        """Two prints at a time or three; three from four prints on."""
        if self.round is None:
            self.at_once = 5 - self.at_once
            if len(self.ids) < THREES_FROM:
                self.at_once = 2
                self.tell(f"Three at a time: from {THREES_FROM} prints on.")
            self.refresh_page()

    def action_use(self) -> None:
        if self.round is None:
            asks = list(ASKED)
            self.question = asks[(asks.index(self.question) + 1) % len(asks)]
            self.refresh_page()

    def action_enter(self) -> None:
        """Go on with what waits; else draw rounds for whoever looks."""
        if self.round is not None:
            return
        if self.found.waiting:
            self._take_up(self.found.waiting[0])
        else:
            self.action_new()

    def action_new(self) -> None:
        if self.round is None:
            self.type_text("Who looks", "observer 1", self._begin)

    def _begin(self, observer: str) -> None:
        self.warned = ""
        drawn = sidebyside.begin(
            self.bench,
            self.ids,
            observer=observer.strip() or "observer 1",
            regions=[one.id for one in self.regions if one.id in self.chosen],
            times=self.times,
            ask=self.question,
            at_once=self.at_once,
        )
        self._look_up()
        self.tell(f"Rounds drawn: {len(drawn)}. p writes slips to lay on the prints; Enter begins.")

    def _look_up(self) -> None:
        self.found = sidebyside.result(self.bench, self.ids)
        self.refresh_page()

    def action_slips(self) -> None:
        if not self.found.waiting:
            self.tell("No round is drawn; Enter draws one.")
        else:
            self.type_text("Write slips to", str(Path.cwd() / "slips.pdf"), self._write_slips)

    def _write_slips(self, typed: str) -> None:
        path = Path(typed.strip()).expanduser()
        sidebyside.write_slips(self.bench, self.found.waiting, self._titles, path)
        self.tell("Written. Fold the lower half of each slip under: it names its print.")

    # Answering --------------------------------------------------------------------------------------------

    def _take_up(self, one: Round) -> None:
        self.round = one
        self.tell(f"{self._titles[one.region]}: lay the slips {listed(sorted(one.prints))} on the prints.")
        self.refresh_page()

    def action_digit(self, digit: str) -> None:
        one = self.round
        if one is None or one.next is None:
            return
        if one.three_at_once is not None:
            self._best_of_three(one, digit)
            return
        if digit not in _NAMED:
            self.tell("1 left, 2 right, 0 no difference.")
            return
        left, right = one.pairs[one.next]
        named = _NAMED[digit]

        def answered() -> None:
            self.round = sidebyside.answer(self.bench, one, named)
            self.tell(lines.answered(left, right, named))

        if self.attempt(answered):
            self._go_on()

    def _best_of_three(self, one: Round, digit: str) -> None:
        lying = ("", *(one.three_at_once or ()))
        letter = lying[int(digit)]

        def answered() -> None:
            self.round = sidebyside.best_of_three(self.bench, one, letter)
            self.tell(f"{', '.join(lying[1:])}: {letter or 'no difference'}. Saved.")

        if self.attempt(answered):
            self._go_on()

    def _go_on(self) -> None:
        """The next pair; after the last one of a round the next round of the same observer, then the end."""
        one = self.round
        if one is not None and not one.is_open:
            self.found = sidebyside.result(self.bench, self.ids)
            rest = [each for each in self.found.waiting if each.observer == one.observer]
            if rest:
                self._take_up(rest[0])
                return
            self.round = None
            self.tell(lines.ended(one))
        self.refresh_page()

    def action_undo(self) -> None:
        one = self.round
        if one is None or not one.answers:
            self.tell("Nothing to undo here.")
            return

        def taken_back() -> None:
            self.round = sidebyside.take_back(self.bench, one)
            self.tell("The last answer was taken back.")

        if self.attempt(taken_back):
            self.refresh_page()

    async def action_triangles(self) -> None:
        """Whether there is anything to see between two prints, in the region of the cursor."""
        if self.round is not None:
            return
        if len(self.ids) != 2:
            self.tell("Triangles are of two prints: mark two on Home, then g s.")
            return
        region = self.regions[self.list_here.cursor].id
        await self.app.push_screen(TrianglePage(self.bench, self.ids, region))

    def came_back(self) -> None:
        self._look_up()

    def action_letters(self) -> None:
        """Open the letters before the last answer, when asked twice."""
        if not self.found.waiting:
            self.tell("No letters are drawn.")
            return
        one = self.round or self.found.waiting[0]
        self.ask(
            f"Open the letters of round {one.id}? It ends, and that is recorded. 1 yes, 0 no.",
            {"1": partial(self._open, one)},
        )

    def _open(self, one: Round) -> None:
        if self.attempt(lambda: sidebyside.open_letters(self.bench, one)):
            self.round = None
            told = ", ".join(f"{letter} session {session}" for letter, session in sorted(one.prints.items()))
            self._look_up()
            self.tell(f"Opened: {told}.")

    def back(self) -> None:
        if self.round is not None:
            self.round = None
            self._look_up()
            self.tell("Every answer is saved. Enter goes on.")
        else:
            self.app.pop_screen()
