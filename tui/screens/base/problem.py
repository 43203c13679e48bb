"""The one window for what did not happen: the outcome, the facts, the way on. No colour, no exclamation."""

from pathlib import Path

from textual.app import ComposeResult

from evaluation.errors import DrydownError
from evaluation.system_words import unwritten
from tui import keys
from tui.screens.base.over import Over
from tui.screens.base.paths import short
from tui.widgets.lines import Line, texts, wrapped
from tui.widgets.panel import Panel


class ProblemWindow(Over):
    """A problem that needs reading. Enter goes back to the screen below, which is as it was."""

    BINDINGS = keys.bindings("problem")

    def __init__(self, problem: DrydownError) -> None:
        super().__init__()
        self.problem = problem

    def foot_state(self) -> str:
        return "problem"

    def between(self) -> ComposeResult:
        yield Panel("problem", "Not done")

    def on_mount(self) -> None:
        self.query_one("#problem", Panel).show(lambda width, height: problem_lines(self.problem, width))

    def _text(self) -> str:
        return "\n".join(row.strip() for row in texts(problem_lines(self.problem, 80)) if row.strip()) + "\n"

    def action_close(self) -> None:
        self.dismiss()

    def action_copy(self) -> None:
        self.app.copy_to_clipboard(self._text())
        self.above_keys([" Sent to the terminal's clipboard, if it takes it."])

    def action_out(self) -> None:
        path = Path.cwd() / "drydown-problem.txt"
        try:
            path.write_text(self._text(), "utf-8")
        except OSError as problem:
            self.above_keys(
                [f" {short(path)} was not written: {unwritten(problem).found or 'no reason given'}."]
            )
        else:
            self.above_keys([f" Written: {short(path)}."])


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
