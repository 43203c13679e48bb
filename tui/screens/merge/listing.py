"""What the merge page lists: what bundles would bring or brought, and what is left to choose."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.archive.bundles.nouns import Choice, Divergence, Merged
from evaluation.errors import DrydownError
from evaluation.work.bench import Bench
from evaluation.work.bundle import bundle
from tui.screens.base.slow import SlowPage
from tui.screens.merge import lines
from tui.screens.merge.lines import Open, Row
from tui.widgets import head
from tui.widgets.lines import Line
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList


class Listing(SlowPage):
    """Its rows, the one under the cursor in full, a refusal where there was one; keys come with the page."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.files: tuple[Path, ...] = ()  # that are shown
        self.looked: tuple[Path, ...] = ()  # that are looked at meanwhile
        self.found: Merged | None = None  # what they would bring
        self.came: Merged | None = None  # what was taken in last
        self.rows: list[Row] = []
        self.problem: DrydownError | None = None
        self.decided: list[tuple[int, int]] = []  # session and action of what was chosen here, newest last
        self.merging = bundle.last(bench)
        self.list_open()

    def body(self) -> ComposeResult:
        with Frame("list", "Bundles"):
            yield Panel("heading", classes="flat")
            yield RowList("rows", moved=self.moved, chosen=self.action_enter)
        yield ProgressBar(show_eta=False)
        yield Panel("about")

    def foot_state(self) -> str:
        if self.busy:
            return "merge.busy"
        if self.found is not None:
            return "merge.shown" if self.open_here is None else "merge.differs"
        if self.open_here is not None:
            return "merge.open"
        if self.came is not None and self.here is not None:
            return "merge.came"
        return "merge.none" if self.merging is None else "merge"

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head(
            "Merge", lines.files([each.name for each in self.files]) if self.found else "", width
        )

    # What is listed ---------------------------------------------------------------------------------------

    @property
    def here(self) -> Row | None:
        """The row under the cursor."""
        cursor = self.list_here.cursor if self.built else 0
        return self.rows[cursor] if cursor < len(self.rows) else None

    @property
    def open_here(self) -> Open | None:
        """The difference under the cursor."""
        return self.here if isinstance(self.here, Open) else None

    def session_in_hand(self) -> int | None:
        """The one under the cursor, where it is in this archive already."""
        here = self.here
        if isinstance(here, Open):
            return here.difference.session
        return here.number if here is not None and (self.found is None or not here.new) else None

    def list_merged(self, found: Merged) -> None:
        """What comes or came; first what has to be chosen."""
        chosen = self.choices()  # of what was shown before, where another bundle came beside it
        came = [each for each in found.sessions if each.anything]
        self.rows = [*(lines.chosen_again(one, chosen) for one in self._worded(found.differences)), *came]

    def list_open(self) -> None:
        self.rows = list(self._worded(bundle.open_differences(self.bench)))

    def _worded(self, found: Sequence[Divergence]) -> Iterator[Open]:
        return (Open(one, bundle.in_words(self.bench, one)) for one in found)

    def moved(self) -> None:
        """A refusal was read when one goes on."""
        self.problem = None
        self.refresh_page()

    def repaint(self) -> None:
        if self.found is not None:
            title, note = "Would come", lines.amount(self.found)
        elif self.came is not None:
            title, note = "Came", lines.amount(self.came)
        else:
            title, note = "Left to choose" if self.rows else "Bundles", ""
        self.query_one("#list", Frame).called(title, note)
        self.one("heading").show(self._heading)
        self.list_here.show(self._rows, len(self.rows))
        self.list_here.display = bool(self.rows)
        self.show_bar()
        self._about()

    def _heading(self, width: int, height: int) -> Sequence[Line]:
        if self.rows:
            return [lines.heading(self.rows, width)]
        return ["", *lines.nothing(self.merging, width, looked=self.found is not None)]

    def _rows(self, start: int, count: int) -> list[Line]:
        return [lines.row(each, self.list_here.room) for each in self.rows[start : start + count]]

    def _about(self) -> None:
        about, here = self.one("about"), self.here
        about.display = here is not None or self.problem is not None
        if self.problem is not None:
            problem = self.problem
            about.called("Not done")
            about.show(lambda width, height: lines.refused(problem, width))
        elif isinstance(here, Open):
            about.called(f"Session {here.difference.session}: entered differently", "a digit chooses")
            about.show(lambda width, height: lines.of_difference(here, width)[:height])
        elif here is not None:
            about.called(f"Session {here.number}" + (f", {here.paper}" if here.paper else ""))
            about.show(lambda width, height: lines.of_session(here, width, came=self.found is None))

    def as_text(self) -> str:
        return "\n".join(str(lines.row(each, 100)).rstrip() for each in self.rows) + "\n"

    def choices(self) -> list[Choice]:
        """What is chosen and not taken in."""
        return lines.choices(self.rows) if self.found is not None else []
