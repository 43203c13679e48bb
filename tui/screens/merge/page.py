"""Merge: what bundles would bring, what is known, what differs; taken in whole, and taken back."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, Final

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.archive.bundles.nouns import Came, Choice, Difference, Merged
from evaluation.errors import Cancelled, DrydownError
from evaluation.work import say
from evaluation.work.bench import Bench
from evaluation.work.bundle import bundle
from tui import keys
from tui.screens.base.slow import SOON, SlowPage
from tui.screens.merge import lines, work
from tui.screens.merge.lines import Open, Row
from tui.widgets import head
from tui.widgets.lines import Line
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_STOPPED: Final = "Stopped. Nothing was merged."


class MergePage(SlowPage):
    """What a bundle would bring, before anything is taken; then what came, and what is left to choose."""

    PAGE = "merge"
    BINDINGS = keys.bindings("merge")
    TEXT = (
        "Sessions that others sent you as bundles. Enter looks for a bundle, and what it would bring is "
        "listed; n shows another one with it. t takes all of it in, or nothing. What was entered differently "
        "here and there is listed too: a digit says which version counts; until then yours does. u takes the "
        "last merge back."
    )

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.files: tuple[Path, ...] = ()  # that are looked at
        self.found: Merged | None = None  # what they would bring
        self.came: Merged | None = None  # what was taken in last
        self.rows: list[Row] = []
        self.problem: DrydownError | None = None
        self.decided: list[tuple[int, int]] = []  # session and action of what was chosen here, newest last
        self.merging = bundle.last(bench)
        self._list_open()

    def body(self) -> ComposeResult:
        with Frame("list", "Bundles"):
            yield Panel("heading", classes="flat")
            yield RowList("rows", moved=self.refresh_page, chosen=self.action_enter)
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

    def _list(self, found: Merged) -> None:
        """What comes or came; first what has to be chosen."""
        came = [each for each in found.sessions if each.anything]
        self.rows = [*self._worded(found.differences), *came]

    def _list_open(self) -> None:
        self.rows = list(self._worded(bundle.open_differences(self.bench)))

    def _worded(self, found: Sequence[Difference]) -> Iterator[Open]:
        return (Open(one, bundle.in_words(self.bench, one)) for one in found)

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
            about.called("It did not happen")
            about.show(lambda width, height: lines.refused(problem, width))
        elif isinstance(here, Open):
            about.called(f"Session {here.difference.session}: entered differently", "a digit chooses")
            about.show(lambda width, height: lines.of_difference(here, width)[:height])
        elif here is not None:
            about.called(f"Session {here.number}" + (f", {here.paper}" if here.paper else ""))
            about.show(lambda width, height: lines.of_session(here, width, came=self.found is None))

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        self.list_here.move(way)

    async def action_enter(self) -> None:
        """The next version of what differs; a session that came; else a bundle is looked for."""
        one = self.open_here
        if self.busy:
            self.tell("Esc stops what is under way.")
        elif one is not None:
            self._choose(0 if one.chosen is None else (one.chosen + 1) % len(one.words))
        elif self.found is not None:
            self.tell("t takes in all that is listed.")
        elif isinstance(self.here, Came):
            self.desk.go("look" if self.here.new else "weigh", self.here.number)
        else:
            await self.action_more()

    async def action_more(self) -> None:
        """A bundle, or another one beside those that are shown."""
        from tui.screens.tools.choose import BUNDLE, ChooseFile

        if not self.busy:
            await self.app.push_screen(ChooseFile(self.bench, BUNDLE, self._look))

    def _look(self, path: Path) -> None:
        self.problem = None
        before = () if self.found is None else tuple(each for each in self.files if each != path)
        self.files = (*before, path)
        looked = partial(work.looked, self.files)
        self.start_slow("look", f"Looking at {path.name}", looked, _STOPPED, after=SOON)

    def action_take(self) -> None:
        if self.busy:
            self.tell("Esc stops what is under way.")
        elif self.found is None:
            self.tell("Enter looks for a bundle; what it would bring is shown first.")
        elif not self.found.anything:
            self.tell("Nothing new: the archive has all of it already.")
        else:
            taken = partial(work.taken, self.files, self._choices())
            self.start_slow("take", "Taking it in", taken, _STOPPED, after=SOON)

    def action_digit(self, digit: str) -> None:
        one = self.open_here
        if one is None:
            self.tell("Digits choose where something was entered differently.")
        elif int(digit) > len(one.words):
            self.tell(f"Versions run from 1 to {len(one.words)}.")
        else:
            self._choose(int(digit) - 1)

    def _choose(self, version: int) -> None:
        """Before a merge a choice is made with it; afterwards at once."""
        one = self.open_here
        if one is None or self.busy:
            return
        if self.found is not None:
            self.rows[self.list_here.cursor] = replace(one, chosen=version)
            self.tell(f"Version {version + 1} is chosen; t takes it in with the rest.")
            self.refresh_page()
            return

        def decided() -> None:
            (choice,) = lines.choices([replace(one, chosen=version)])
            step = bundle.decide(self.bench, choice)
            self.decided.append((one.difference.session, step.entries[0].action))
            self.tell(f"Saved. {step.words}.")

        if self.attempt(decided):
            self.came = None
            self._list_open()
            self.refresh_page()

    def _choices(self) -> list[Choice]:
        """What is chosen and not taken in."""
        return lines.choices(self.rows) if self.found is not None else []

    def action_undo(self) -> None:
        """What was chosen here first; then the merge itself, when asked."""
        if self.busy or self.found is not None:
            self.tell("Nothing was taken in yet. Esc leaves the bundle as it is.")
        elif self.decided:
            self._take_back(*self.decided[-1])
        elif self.merging is None:
            self.tell("No merge to take back.")
        else:
            asked = f"Take back the merge of {lines.files(self.merging.files)}? 1 yes, 0 no."
            self.ask(asked, {"1": self._undo})

    def _take_back(self, session: int, action: int) -> None:
        def turned() -> None:
            step = say.undo(self.bench, session, lambda found: found[0].action == action)
            self.decided.pop()
            self.tell(f"Undone: {step.words}." if step else "Another entry was made since; it stays.")

        if self.attempt(turned):
            self._list_open()
            self.refresh_page()

    def _undo(self) -> None:
        self.start_slow("undo", "Taking the merge back", work.undone, _STOPPED, after=SOON)

    def back(self) -> None:
        """Stop; then the bundle goes out of sight; then the page."""
        if self.busy:
            self.stop()
        elif self.found is not None or self.came is not None or self.problem is not None:
            self._forget()
        else:
            self.go_to("home")

    def _forget(self) -> None:
        self.files, self.found, self.came, self.problem = (), None, None, None
        self._list_open()
        self.said = ""
        self.refresh_page()

    def waiting(self) -> str:
        """A choice that was made and not taken in."""
        return "What you chose is taken in with t." if self._choices() else ""

    def as_text(self) -> str:
        return "\n".join(str(lines.row(each, 100)).rstrip() for each in self.rows) + "\n"

    # What the work brought --------------------------------------------------------------------------------

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.list_here.cursor = 0
        self.problem = None
        self.said = ""
        if job == "look":
            self.found, self.came = value, None
            self._list(value)
        elif job == "take":
            self.found, self.came = None, value
            self._list(value)
            self.said = f"Merged; u takes it back. The archive as it was: {value.kept}."
        else:
            self._forget()
            self.said = f"As before the merge of {lines.files(value.files)}."
        self.decided = [] if job != "look" else self.decided
        self.merging = bundle.last(self.bench)
        self.refresh_page()

    def failed(self, job: str, problem: DrydownError) -> None:
        """A refusal stands on the page; what was listed before stays listed."""
        if isinstance(problem, Cancelled):
            super().failed(job, problem)
            return
        self.ended()
        self.problem = problem
        self.said = ""
        if job == "look":
            self.files = self.files[:-1] if self.found is not None else ()
        self.refresh_page()
