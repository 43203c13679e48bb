"""Side by side: two prints at a time under letters, a digit for each pair; then how far they are apart."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Final

from textual.app import ComposeResult

from evaluation.judgement.beside.design import THREES_FROM
from evaluation.judgement.beside.result import InRegion
from evaluation.plain_text import listed
from evaluation.rounds import ASKED
from evaluation.telling import side_by_side
from evaluation.telling.jnd_ruler import jnd_ruler
from evaluation.work.bench import Bench
from evaluation.work.sidebyside import document, sidebyside
from tui import keys
from tui.screens.base.text import TextPage
from tui.screens.sidebyside import lines, ruler
from tui.screens.sidebyside.answering import Answering
from tui.screens.sidebyside.triangle_page import TrianglePage
from tui.widgets import head
from tui.widgets.lines import Line, paragraphs
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_TIMES: Final = (12, 20, 6, 3)


class SideBySide(Answering):
    """The regions to judge and what is known; while a round is answered, nothing but its two letters."""

    PAGE = "sidebyside"
    BINDINGS = keys.bindings("sidebyside")
    TEXT = (
        "Which print is better, two at a time, under letters. Space chooses regions; Enter draws letters, "
        "or goes on with what waits. p writes slips to lay on the prints; somebody else does it best. Then 1 "
        "names the print on the left, 2 the one on the right, 0 neither. The end tells which was which."
    )

    def __init__(self, bench: Bench, session_ids: Sequence[int]) -> None:
        found = sidebyside.prints_of(bench, session_ids)
        super().__init__(bench, session_ids)
        self.regions = sidebyside.regions_of(bench, found, all_of=True)
        self.chosen = {one.id for one in sidebyside.regions_of(bench, found)}
        self.times = _TIMES[0]
        self.question = "better"
        self.at_once = 2

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
        one = self.round
        if one is None:
            return "sidebyside" if self.following is None else "sidebyside.waiting"
        if not one.is_open:
            return "sidebyside.rest"
        return "sidebyside.round" if one.three_at_once is None else "sidebyside.three"

    # Drawing ----------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        self.set_class(self.round is not None, "-answering")
        if self.round is not None:
            self.one("pair").show(partial(self.lying_lines, self.round))
            return
        about = lines.chosen(len(self.ids), len(self.chosen), self.times, self.question, self.at_once)
        self.query_one("#list", Frame).called("Regions", about)
        self.list_here.show(self._rows, len(self.regions))
        self.one("told").called("So far", ruler.IN_SHORT if self.found.regions else "")
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
            return paragraphs(self._told(), width)
        shown = paragraphs(self._waiting(), width)
        for one in self._newest_first():
            shown += self._ruler(one, width)
        return [*shown, *paragraphs(document.remarks(self.found), width)]

    def _newest_first(self) -> list[InRegion]:
        return sorted(self.found.regions, key=lambda one: one.rounds[-1].id, reverse=True)

    def _ruler(self, one: InRegion, width: int) -> list[Line]:
        asked = lines.asked(one.title, one.ask, len(one.observers))
        return [((f"  {asked}", "strong"),), *ruler.ruler(jnd_ruler(one), width)]

    def _waiting(self) -> list[str]:
        return document.waiting(self.found, self.titles)

    def _told(self) -> list[str]:
        return [*self._waiting(), *document.told(self.found), *self._ahead()]

    def _ahead(self) -> list[str]:
        """What new rounds would take, where none waits."""
        if self.found.waiting:
            return []
        return [side_by_side.before(len(self.ids), len(self.chosen), self.times, self.at_once)]

    def action_view(self) -> None:
        """Every sentence, each region's below its ruler, as a page to read."""
        if self.round is None:
            self.app.push_screen(TextPage(self.bench, "Side by side", self._in_full, "side-by-side"))

    def _in_full(self, width: int) -> list[Line]:
        shown: list[Line] = ["", *paragraphs(self._waiting(), width)]
        for one in self._newest_first():
            shown += ["", *self._ruler(one, width), *paragraphs(document.of_region(one), width)]
        legend = ["", f"  {ruler.LEGEND}"] if self.found.regions else []
        return [*shown, *legend, "", *paragraphs([*document.limits(self.found), *self._ahead()], width)]

    @property
    def titles(self) -> dict[str, str]:
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
            self.go_on()
        elif (one := self.following) is not None:
            self.take_up(one)
        else:
            self.action_new()

    def action_new(self) -> None:
        """Rounds for whoever looks; proposed is somebody who has not looked at these prints yet."""
        if self.round is None:
            self.type_text("Who looks", sidebyside.next_observer(self.found), self._begin)

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
        self.observer = drawn[0].observer
        self.look_up()
        self.tell(f"Rounds drawn: {len(drawn)}. p writes slips to lay on the prints; Enter begins.")

    def action_slips(self) -> None:
        if not self.found.waiting:
            self.tell("No round is drawn; Enter draws one.")
        else:
            self.type_text("Write slips to", str(Path.cwd() / "slips.pdf"), self._write_slips)

    def _write_slips(self, typed: str) -> None:
        path = Path(typed.strip()).expanduser()
        sidebyside.write_slips(self.bench, self.found.waiting, self.titles, path)
        self.tell("Written. Fold the lower half of each slip under: it names its print.")

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
        self.look_up()
