"""Look: one region, one question at a time. Every answer is saved as it is given; no reading shows here."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Final, Literal

from evaluation.errors import UsageProblem
from evaluation.session import Count, Grade, Pick, Value, YesNo
from evaluation.work import describe, look, say
from evaluation.work.bench import Bench
from evaluation.work.say import Step
from tui.screens import look_lines, viewing
from tui.screens.answer import LEAVE, Result
from tui.screens.answer_parts import FaultAsking
from tui.screens.bounce import Bounce
from tui.screens.course import Course
from tui.screens.dark import Dark
from tui.screens.step import StepPage, lower_first
from tui.widgets.part import Lines, Part

_AGAIN: Final = "Look at the number again; nothing was saved."
_FIRST_OBSERVER: Final = "observer 1"


class Look(StepPage):
    """Takes keys and shows the course of the newest viewing."""

    PAGE = "look"
    TEXT = (
        "One region at a time, one question at a time. Your answer is saved as you give it. Readings stay "
        "out of sight until the region has its grade."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.bounce = Bounce()
        self.large = False
        self.wrong = ""  # why the last answer was not taken
        self.course = Course(self)
        self.observer = self._last_observer()
        if self.session.viewing is not None:
            self.course.go_on()

    def _last_observer(self) -> str:
        earlier = self.session.viewing
        if earlier is None and (before := describe.earlier_session(self.bench, self.session)):
            earlier = before.viewing
        return earlier.observer if earlier else _FIRST_OBSERVER

    def body(self) -> Iterator[Part]:
        yield Lines("body")

    # Drawing ----------------------------------------------------------------------------------------------

    def foot_state(self) -> str:
        course = self.course
        if course.mode == "asking" and course.asked is not None:
            return course.asked.foot
        return f"look.{course.mode}"

    def repaint(self) -> None:
        width, height = self.size.width, self.size.height - self.HEAD_HEIGHT - 2
        if self.large:
            here = self.course.stop.region if self.course.route and self.course.route.regions else ""
            self.one("body").show(look_lines.large_map(self.sheet, here, width, height))
            return
        body = look_lines.body(self.course, self.session, self.sheet, self.observer, width, height)
        self.one("body").show(body)

    # Keys -------------------------------------------------------------------------------------------------

    def action_digit(self, digit: str) -> None:
        if self.bounce.same(digit, self.drydown):
            return
        asked = self.course.asked
        if self.large:
            self.tell("m brings the question back.")
        elif self.course.mode == "start":
            self._start(digit)
        elif self.course.mode != "asking":
            self.tell("Enter goes on; Left goes back to the answers.")
        elif isinstance(asked, FaultAsking):
            self._fault(asked, int(digit))
        elif asked is not None:
            self._result(asked.digit(int(digit)))

    def action_yes(self) -> None:
        self._yes_no(True)

    def action_no(self) -> None:
        self._yes_no(False)

    def _yes_no(self, yes: bool) -> None:
        question = self.course.stop.question if self.course.mode == "asking" else None
        if question is not None and question.answer == "yesno":
            self._result(YesNo(yes))
        else:
            self.tell("y and n answer questions of yes and no.")

    def action_enter(self) -> None:
        course = self.course
        if course.mode == "start":
            self.type_text("Observer", self.observer, self._take_observer)
        elif course.mode == "pause":
            after = course.next_region()
            self.said = ""
            if after is None:
                course.mode = "finished"
            else:
                course.to_region(after.id)
            self.refresh_page()
        elif course.mode == "finished":
            self._from_finished()
        elif isinstance(course.asked, FaultAsking):
            self._after()
        elif course.asked is not None:
            self._result(course.asked.enter())

    def _from_finished(self) -> None:
        left = viewing.left_open(self.course.viewing, self.course.begun)
        if left:
            self.course.to_region(left[0][0].id, first_open=left[0][1] != viewing.TO_LOOK_AGAIN)
            self.refresh_page()
        else:
            self.go_to("next")

    def _take_observer(self, typed: str) -> None:
        self.observer = typed.strip() or _FIRST_OBSERVER
        self.refresh_page()

    def _start(self, digit: str) -> None:
        if digit not in "12":
            self.tell("1 quick look, 2 full viewing.")
            return

        def begin() -> None:
            kind: Literal["quick", "full"] = "quick" if digit == "1" else "full"
            look.start(self.bench, self.session_id, observer=self.observer, kind=kind)
            self.session = say.session(self.bench, self.session_id)
            self.said = ""
            self.course.go_on()
            self.refresh_page()

        self.attempt(begin)

    # Answers ----------------------------------------------------------------------------------------------

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
        stop = self.course.stop
        question = stop.question
        assert question is not None
        try:
            self.noted(self._here(look.answer, question.id, value)())
        except UsageProblem as problem:
            if isinstance(value, Pick | Count) and problem.found:  # one line, and the question stays in sight
                self._wrong(f"{problem.found}: not printed there. {_AGAIN}")
            else:
                self.refused(problem)
            return
        whole = isinstance(value, Grade) and question.whole_region
        if whole and stop.region in self.course.viewing.look_again:
            self._unmark()
        self._after()

    def _here(self, verb: Callable[..., Step], *said: object, **more: object) -> Callable[[], Step]:
        """A verb of `look` about the region in hand, with the session as it stands here."""
        region = self.course.stop.region
        return partial(verb, self.bench, self.session_id, region, *said, at_hand=self.session, **more)

    def _unmark(self) -> None:
        """A new grade of the whole is the second look: the mark has done its work."""
        self.session = self._here(look.again, False)().session

    def _fault(self, asked: FaultAsking, digit: int) -> None:
        if digit == 0:
            if asked.seen or self.course.stop.region not in self.course.viewing.faultless:
                self.save(self._here(look.faults, ()))
            self._after()
            return
        toggled = asked.toggled(digit)
        if isinstance(toggled, str):
            self.tell(toggled)
            return
        name, seen = toggled
        self.save(self._here(look.fault, name, seen=seen))

    def changed(self) -> None:
        if self.course.mode == "asking" and self.session.viewing is not None:
            self.course.stand(self.course.place)
        super().changed()

    def turned(self, step: Step) -> None:
        self.course.turned(step)

    def action_undo(self) -> None:
        """What was begun and is not saved goes first."""
        if self.course.mode == "asking" and self.course.asked is not None and self.course.asked.clear():
            self.said = "Begun again; nothing of it was saved."
            self.refresh_page()
        else:
            super().action_undo()

    # Moving -----------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        course = self.course
        if course.route is None or course.mode == "start":
            return
        if way == "right" and course.mode == "pause":
            self.action_enter()
            return
        if self.said == self.wrong:
            self.said = ""
        if way == "left" and course.mode != "asking":
            course.stand(course.place)
        elif way in ("left", "right") and course.mode == "asking":
            course.step(1 if way == "right" else -1)
        elif way in ("up", "down") and (region := course.beside(1 if way == "down" else -1)) is not None:
            course.to_region(region.id)
        self.refresh_page()

    def back(self) -> None:
        course = self.course
        if self.large:
            self.action_map()
        elif course.mode == "start" and self.session.viewing is not None:
            course.go_on()
            self.refresh_page()
        elif course.mode == "asking" and course.asked is not None and course.asked.clear():
            self.refresh_page()
        else:
            super().back()

    # Second look, second viewing, remark, map, darkness -----------------------------------------------------

    def action_again(self) -> None:
        if self.course.route is None:
            self.tell("A viewing begins with 1 or 2.")
            return
        self.save(self._here(look.again, self.course.stop.region not in self.course.viewing.look_again))

    def action_viewing(self) -> None:
        self.course.leave()
        self.refresh_page()

    def remark_subject(self) -> tuple[str, str, int | None]:
        if self.course.route is None:
            return super().remark_subject()
        region = self.course.region
        return region.id, lower_first(region.title), self.course.viewing.id

    def action_map(self) -> None:
        self.large = not self.large
        self.refresh_page()

    def action_dark(self) -> None:
        if self.drydown.dimmed():
            self.drydown.push_screen(Dark(), lambda _: self.drydown.undim())
        else:
            self.tell("d once more: dark until a key.")

    def as_text(self) -> str:
        route = self.course.route
        if route is None:
            return self.print_title() + "\n"
        return look_lines.as_text((self.print_title(), self.who()), self.course.viewing, route)
