"""A question above the keys that a digit answers; y and n stand for 1 and 0."""

from collections.abc import Callable, Mapping

from tui import keys
from tui.screens.base.over import Over
from tui.widgets.lines import wrapped

Answers = Mapping[str, Callable[[], object]]


class Question(Over):
    """Only the digits that answer it end it."""

    BINDINGS = keys.bindings("asking")

    def __init__(self, question: str, answers: Answers) -> None:
        super().__init__()
        self.question = question
        self.answers: Answers = {"0": lambda: None, **answers}

    def foot_state(self) -> str:
        return "asking" if self.answers.keys() <= {"0", "1"} else "asking.which"

    def on_mount(self) -> None:
        self.above_keys(
            lambda width, height: [((f" {row}", "strong"),) for row in wrapped(self.question, width - 2)]
        )

    async def action_digit(self, digit: str) -> None:
        answer = self.answers.get(digit)
        if answer is not None:
            await self.app.pop_screen()
            answer()
