"""The one window for what did not happen: the outcome, the facts, the way on. No colour, no exclamation."""

from collections.abc import Iterator
from pathlib import Path

from textual.screen import ModalScreen

from evaluation.errors import DrydownError
from evaluation.system_words import unwritten
from tui import footers, keys
from tui.screens.painted import Painted
from tui.screens.paths import short
from tui.widgets import foot
from tui.widgets.lines import Line, texts, wrapped
from tui.widgets.part import Lines, Part


class ProblemWindow(Painted, ModalScreen[None]):
    """A problem that needs reading. Enter goes back to the screen below, which is as it was."""

    BINDINGS = keys.bindings("problem")
    AUTO_FOCUS = None
    CSS = "ProblemWindow { background: $background; }"

    def __init__(self, problem: DrydownError) -> None:
        super().__init__()
        self.problem = problem
        self.said = ""

    def make_parts(self) -> Iterator[Part]:
        yield Lines("problem")
        yield Lines("foot", height=foot.HEIGHT)

    def on_mount(self) -> None:
        self.refresh_page()

    def refresh_page(self) -> None:
        width = self.size.width
        self.one("problem").show(problem_lines(self.problem, width))
        pairs = footers.footer("problem", self.app.config.keymap)
        self.one("foot").show([foot.saved(self.said, width), foot.keys(pairs, width)])

    def _text(self) -> str:
        return "\n".join(row.strip() for row in texts(problem_lines(self.problem, 80)) if row.strip()) + "\n"

    def action_close(self) -> None:
        self.dismiss()

    def action_copy(self) -> None:
        self.app.copy_to_clipboard(self._text())
        self.said = "Sent to the terminal's clipboard, if it takes it."
        self.refresh_page()

    def action_out(self) -> None:
        path = Path.cwd() / "drydown-problem.txt"
        try:
            path.write_text(self._text(), "utf-8")
            self.said = f"Written: {short(path)}."
        except OSError as problem:
            self.said = f"{short(path)} was not written: {unwritten(problem).found or 'no reason told'}."
        self.refresh_page()


def problem_lines(problem: DrydownError, width: int) -> list[Line]:
    """Outcome in strong weight, then the facts, then what to do."""
    room = min(width, 100) - 6
    lines: list[Line] = ["", ""]
    lines += [((f"   {row}", "strong"),) for row in wrapped(problem.what, room)]
    if problem.particulars:
        lines += ["", *(f"   {row}" for row in wrapped(problem.particulars, room))]
    if problem.remedy:
        lines += ["", *(f"   {row}" for row in wrapped(problem.remedy, room))]
    return lines
