"""How answers are given in Look: a digit says it, and it is on disk before the next question shows.

What is begun and not whole yet is never left behind unseen: one ends it first, with Enter or Esc.
"""

from collections.abc import Callable
from functools import partial
from typing import Final

from evaluation.errors import DrydownError, UsageProblem
from evaluation.session import Count, Pick, Value, YesNo
from evaluation.work.bench import Bench
from evaluation.work.log import Entered
from evaluation.work.look import look
from tui.screens.base.bounce import Bounce
from tui.screens.look.answer import LEAVE, Result
from tui.screens.look.answer_parts import FaultAsking
from tui.screens.look.course import Course
from tui.screens.steps.step import StepPage

_AGAIN: Final = "Look at the number again; nothing was saved."
_FAULTS_OPEN: Final = "Faults left open. 0 says that there are none."


class Answering(StepPage):
    """Takes the keys that answer the stop in hand of a course."""

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.bounce = Bounce()
        self.wrong = ""  # why the last answer was not taken
        self.course = Course(self)

    def action_digit(self, digit: str) -> None:
        if self.bounce.same(digit, self.desk):
            return
        asked = self.course.asked
        if self.course.mode == "start":
            self.start(digit)
        elif self.course.mode != "asking":
            self.tell("Enter goes on; Left goes back to the answers.")
        elif isinstance(asked, FaultAsking):
            self._fault(asked, int(digit))
        elif asked is not None:
            self._result(asked.digit(int(digit)))

    def start(self, digit: str) -> None:
        """Begin a viewing."""

    def action_yes(self) -> None:
        self._yes_no(True)

    def action_no(self) -> None:
        self._yes_no(False)

    def _yes_no(self, yes: bool) -> None:
        question = self.course.stop.question if self.course.mode == "asking" else None
        if question is not None and question.answer == "yesno":
            self._result(YesNo(yes))
        else:
            self.tell("y and n answer yes-or-no questions.")

    def entered(self) -> None:
        """Enter at the stop in hand: it takes what was begun, and goes on."""
        asked = self.course.asked
        if isinstance(asked, FaultAsking):
            if not asked.answered:
                self.said = _FAULTS_OPEN
            self._after()
        elif asked is not None:
            self._result(asked.enter())

    def _result(self, result: Result) -> None:
        if result is None:
            self.said = ""  # what it said was about an earlier key
            self.refresh_page()
        elif result == LEAVE:
            self.said = ""
            self._after()
        elif isinstance(result, str):
            self._wrong(result)
        else:
            self._answer(result)

    def _wrong(self, sentence: str) -> None:
        """Say why an answer was not taken, until one goes on to something else."""
        self.wrong = self.said = sentence
        self.refresh_page()

    def _after(self) -> None:
        self.course.after()
        self.refresh_page()

    def _answer(self, value: Value) -> None:
        """Save an answer and go on; one that was refused stands there again."""
        question, asked = self.course.stop.question, self.course.asked
        assert question is not None and asked is not None and not isinstance(asked, FaultAsking)
        try:
            self.noted(self.here(look.answer, question.id, value)())
        except DrydownError as problem:
            asked.keep(value)
            if isinstance(value, Pick | Count) and isinstance(problem, UsageProblem) and problem.found:
                self._wrong(f"{problem.found}: not printed there. {_AGAIN}")
            else:
                self.refused(problem)
                self.refresh_page()
            return
        self._after()

    def here(self, verb: Callable[..., Entered], *said: object, **more: object) -> Callable[[], Entered]:
        """A verb of `look` about the region in hand, with the session as it stands here."""
        region = self.course.stop.region
        return partial(verb, self.bench, self.session_id, region, *said, at_hand=self.session, **more)

    def _fault(self, asked: FaultAsking, digit: int) -> None:
        if digit == 0:
            if asked.none or self.save(self.here(look.faults, ())):
                self._after()
            return
        toggled = asked.toggled(digit)
        if isinstance(toggled, str):
            self.tell(toggled)
            return
        name, seen = toggled
        self.save(self.here(look.fault, name, seen=seen))

    # What is begun ----------------------------------------------------------------------------------------

    def begun(self) -> str:
        """How to end what was begun at the stop in hand; "" when nothing was."""
        asked = self.course.asked
        return asked.begun if self.course.mode == "asking" and asked is not None else ""

    def held(self) -> bool:
        """Whether something begun keeps one here; then it is told how to end it."""
        begun = self.begun()
        if begun:
            self._wrong(f"Not saved yet. {begun}")
        return bool(begun)

    def waiting(self) -> str:
        return "An answer is begun and not saved." if self.begun() else super().waiting()

    async def action_go(self) -> None:
        if not self.held():
            await super().action_go()

    def action_leave(self) -> None:
        super().action_leave()
        self.wrong = self.said

    def begin_again(self) -> bool:
        """Forget what was begun at the stop in hand; False when nothing was."""
        asked = self.course.asked
        began = self.course.mode == "asking" and asked is not None and asked.clear()
        if began:
            self._wrong("Begun again; nothing of it was saved.")
        return began

    def action_undo(self) -> None:
        """What was begun and is not saved goes first."""
        if not self.begin_again():
            super().action_undo()
