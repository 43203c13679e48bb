"""Merge: what bundles would bring, what is known, what differs; taken in whole, and taken back."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, Final

from evaluation.archive.bundles.nouns import Came
from evaluation.errors import Cancelled, DrydownError
from evaluation.work import folders, log
from evaluation.work.bundle import bundle
from tui import keys
from tui.screens.base.slow import SOON
from tui.screens.merge import lines, work
from tui.screens.merge.listing import Listing

_STOPPED: Final = "Stopped. Nothing was merged."


class MergePage(Listing):
    """What a bundle would bring, before anything is taken; then what came, and what is left to choose."""

    PAGE = "merge"
    BINDINGS = keys.bindings("merge")
    TEXT = (
        "Sessions that others sent you as bundles. Enter looks for a bundle, and what it would bring is "
        "listed; n shows another one with it, a all of its folder. t takes all of it in, or nothing. What "
        "was entered differently here and there is listed too: a digit says which version counts; until then "
        "yours does. u takes the last merge back."
    )

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
            await self.app.push_screen(ChooseFile(self.bench, BUNDLE, lambda path: self._look([path])))

    def action_all(self) -> None:
        """All bundles of the folder that the last one lies in."""
        from tui.screens.tools.choose import BUNDLE

        if self.found is None or self.busy:
            self.tell("Enter looks for a bundle; then a shows all of its folder.")
            return
        folder = self.files[-1].parent

        def looked() -> None:
            self._look([each.path for each in folders.listed(folder, BUNDLE.endings) if not each.folder])

        self.attempt(looked)

    def _look(self, paths: Sequence[Path]) -> None:
        """Look at bundles together with those that are shown."""
        self.problem = None
        before = self.files if self.found is not None else ()
        self.looked = tuple(dict.fromkeys([*before, *paths]))
        looked = partial(work.looked, self.looked)
        name = lines.files([path.name for path in paths])
        self.start_slow("look", f"Looking at {name}", looked, _STOPPED, after=SOON)

    def action_take(self) -> None:
        if self.busy:
            self.tell("Esc stops what is under way.")
        elif self.found is None:
            self.tell("Enter looks for a bundle; what it would bring is shown first.")
        elif not self.found.anything:
            self.tell("Nothing new: the archive has all of it already.")
        else:
            taken = partial(work.taken, self.files, self.choices())
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
            self.list_open()
            self.refresh_page()

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
            step = log.undo(self.bench, session, lambda found: found[0].action == action)
            self.decided.pop()
            self.tell(f"Undone: {step.words}." if step else "Another entry was made since; it stays.")

        if self.attempt(turned):
            self.list_open()
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
        self.list_open()
        self.said = ""
        self.refresh_page()

    def waiting(self) -> str:
        """A choice that was made and not taken in."""
        return "What you chose is taken in with t." if self.choices() else ""

    # What the work brought --------------------------------------------------------------------------------

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.list_here.cursor = 0
        self.problem = None
        self.said = ""
        if job == "look":
            self.list_merged(value)
            self.found, self.came, self.files = value, None, self.looked
        elif job == "take":
            self.found, self.came = None, value
            self.list_merged(value)
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
        self.refresh_page()
