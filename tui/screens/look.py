"""Look: one region, one question at a time. Every answer is saved as it is given; no reading shows here."""

from collections.abc import Iterator
from functools import partial
from typing import Final, Literal

from evaluation.errors import UsageProblem
from evaluation.session import Count, Grade, Pick, Value, Viewing, YesNo
from evaluation.sheet.layout import SheetRegion
from evaluation.work import describe, look
from evaluation.work.bench import Bench
from evaluation.work.say import Step
from tui.screens import look_lines, viewing
from tui.screens.answer import LEAVE, Asking, Result
from tui.screens.answer_parts import FaultAsking
from tui.screens.answers import asking
from tui.screens.bounce import Bounce
from tui.screens.dark import Dark
from tui.screens.step import StepPage, lower_first
from tui.screens.viewing import Route, Stop
from tui.widgets.lines import Line, wrapped
from tui.widgets.part import Lines, Part

Mode = Literal["start", "asking", "pause", "finished"]
_AGAIN: Final = "Look at the number again; nothing was saved."
_FIRST_OBSERVER: Final = "observer 1"


class Look(StepPage):
    """Stops of a viewing in order; `place` is the one in hand, and `mode` what stands in its place."""

    PAGE = "look"
    TEXT = (
        "One region at a time, one question at a time. Your answer is saved as you give it. Readings stay "
        "out of sight until the region has its grade."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.bounce = Bounce()
        self.mode: Mode = "start"
        self.large = False
        self.place = 0
        self.route: Route | None = None
        self.asked: Asking | FaultAsking | None = None
        self.observer = self._last_observer()
        if self.session.viewing is not None:
            self._go_on()

    def _last_observer(self) -> str:
        earlier = self.session.viewing
        if earlier is None and (before := describe.earlier_session(self.bench, self.session)):
            earlier = before.viewing
        return earlier.observer if earlier else _FIRST_OBSERVER

    def body(self) -> Iterator[Part]:
        yield Lines("body")

    # Where the viewing stands -----------------------------------------------------------------------------

    @property
    def viewing(self) -> Viewing:
        found = self.session.viewing
        assert found is not None
        return found

    @property
    def stop(self) -> Stop:
        assert self.route is not None
        return self.route.flat()[self.place]

    @property
    def shown_region(self) -> SheetRegion:
        assert self.route is not None
        return self.route.region(self.stop.region)

    def _go_on(self) -> None:
        """Stand where the viewing stopped."""
        self.route = viewing.route(self.session, self.sheet)
        stop = viewing.resume(self.viewing, self.route)
        if stop is None:
            self.mode = "finished"
            self.place = max(0, len(self.route.flat()) - 1)
        else:
            self._stand(self.route.flat().index(stop))

    def _stand(self, place: int) -> None:
        """Stand at a stop, with what was said there before."""
        assert self.route is not None
        self.mode, self.place = "asking", place
        stop = self.stop
        if stop.question is None:
            seen = frozenset(fault.name for fault in self.viewing.faults if fault.region == stop.region)
            self.asked = FaultAsking(self.shown_region.faults, seen)
        else:
            answer = self.viewing.answers.get((stop.region, stop.question.id))
            names = viewing.names_of_places(self.sheet, stop.region)
            self.asked = asking(stop.question, answer.value if answer else None, names)

    def _after(self) -> None:
        """One stop on: the next of the region, or the pause after its last."""
        assert self.route is not None
        stops = self.route.stops[self.stop.region]
        if self.stop == stops[-1]:
            self.mode = "pause"
        else:
            self._stand(self.place + 1)
        self.refresh_page()

    def _next_region(self) -> SheetRegion | None:
        """The region after this one that is not finished, going round once."""
        assert self.route is not None
        order = list(self.route.regions)
        at = order.index(self.shown_region)
        ahead = [*order[at + 1 :], *order[:at]]
        return next((region for region in ahead if not viewing.finished(self.viewing, region)), None)

    # Drawing ----------------------------------------------------------------------------------------------

    def foot_state(self) -> str:
        if self.mode == "asking":
            return (
                "look.list"
                if isinstance(self.asked, FaultAsking)
                else getattr(self.asked, "foot", "look.grade")
            )
        return f"look.{self.mode}"

    def repaint(self) -> None:
        width, height = self.size.width, self.size.height - self.HEAD_HEIGHT - 2
        if self.large:
            here = self.stop.region if self.route and self.route.regions else ""
            self.one("body").show(look_lines.large_map(self.sheet, here, width, height))
            return
        self.one("body").show(self._lines(width, height))

    def _lines(self, width: int, height: int) -> list[Line]:
        if self.route is None or not self.route.regions:
            return self._start_lines(width)
        room = width - look_lines.frame(width, height)[2] - 3
        region, total = self.shown_region, len(self.route.regions)
        head = f"region {self.route.place(region.id)} of {total}"
        right: list[Line]
        if self.mode == "asking":
            stops = self.route.stops[region.id]
            head += f", question {stops.index(self.stop) + 1} of {len(stops)}"
            question = self.stop.question
            ask = question.ask if question else "Which faults do you see?"
            assert self.asked is not None
            tall = look_lines.frame(width, height)[1]
            right = look_lines.question_lines(ask, self.asked, room, tall)
            key = viewing.grey_key(self.viewing, self.sheet, self.stop)
            hint = key or look_lines.hint(question)
        elif self.mode == "pause":
            head += ", finished" if viewing.finished(self.viewing, region) else ", left open"
            right = look_lines.pause_lines(self.viewing, self.route, region, self._next_region(), room)
            hint = ""
        else:
            head = f"viewing {self.viewing.ordinal}"
            right, hint = self._finished_lines(room), ""
        said = look_lines.given_lines(self.viewing, self.route, region, room) if self.mode == "asking" else ()
        return look_lines.look_lines(self.sheet, region, head, right, hint, width, height, said)

    def _start_lines(self, width: int) -> list[Line]:
        regions = [region for region in self.sheet.regions if region.questions]
        questions = sum(len(look.asked(region, "full", second_light=False)) for region in regions)
        before = self.session.viewing
        lines: list[Line] = ["", (("   A viewing", "strong"),), ""]
        lines += [f"   observer      {self.observer}", ""]
        lines += [f"   1 quick look     the faults and one grade for each of {len(regions)} regions"]
        lines += [f"   2 full viewing   {questions} questions that lead the eye, and the faults", ""]
        if before is not None:
            lines += ["   It hides the viewing before. Esc goes back to that one.", ""]
        text = "5 is “looked for it as told and did not see it”. The print lies flat in the booth's light."
        return lines + [f"   {row}" for row in wrapped(text, width - 6)]

    def _finished_lines(self, room: int) -> list[Line]:
        assert self.route is not None
        left = viewing.left_open(self.viewing, self.route)
        if not left:
            return [
                (("Look is finished.", "strong"),),
                "",
                *wrapped("Every region has its grade. Enter goes on.", room),
            ]
        names = ", ".join(f"{lower_first(region.title)}, {why}" for region, why in left)
        count = "one" if len(left) == 1 else str(len(left))
        return [
            ((row, "strong"),)
            for row in wrapped(f"Look is finished but for {count}: {names}. Enter goes there.", room)
        ]

    # Keys -------------------------------------------------------------------------------------------------

    def action_digit(self, digit: str) -> None:
        if self.bounce.same(digit, self.drydown):
            return
        if self.large:
            self.tell("m brings the question back.")
        elif self.mode == "start":
            self._start(digit)
        elif self.mode != "asking":
            self.tell("Enter goes on; Left goes back to the answers.")
        elif isinstance(self.asked, FaultAsking):
            self._fault(int(digit))
        elif self.asked is not None:
            self._result(self.asked.digit(int(digit)))

    def action_yes(self) -> None:
        self._yes_no(True)

    def action_no(self) -> None:
        self._yes_no(False)

    def _yes_no(self, yes: bool) -> None:
        if self.mode == "asking" and self.stop.question and self.stop.question.answer == "yesno":
            self._result(YesNo(yes))
        else:
            self.tell("y and n answer questions of yes and no.")

    def action_enter(self) -> None:
        if self.mode == "start":
            self.type_text("Observer", self.observer, self._take_observer)
        elif self.mode == "pause":
            after = self._next_region()
            self.said = ""
            if after is None:
                self.mode = "finished"
                self.refresh_page()
            else:
                self._to_region(after.id, first_open=True)
        elif self.mode == "finished":
            self._from_finished()
        elif isinstance(self.asked, FaultAsking):
            self._after()
        elif self.asked is not None:
            self._result(self.asked.enter())

    def _from_finished(self) -> None:
        assert self.route is not None
        left = viewing.left_open(self.viewing, self.route)
        if left:
            self._to_region(left[0][0].id, first_open=left[0][1] != "to look again")
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
            self.reload()
            self.said = ""
            self._go_on()
            self.refresh_page()

        self.attempt(begin)

    def _result(self, result: Result) -> None:
        if result is None:
            self.refresh_page()
        elif result == LEAVE:
            self.said = ""
            self._after()
        elif isinstance(result, str):
            self.tell(result)
            self.refresh_page()
        else:
            self._answer(result)

    def _answer(self, value: Value) -> None:
        question = self.stop.question
        assert question is not None
        verb = partial(look.answer, self.bench, self.session_id, self.stop.region, question.id, value)
        try:
            self.noted(verb())
        except UsageProblem as problem:
            if isinstance(value, Pick | Count) and problem.found:  # one line, and the question stays in sight
                self.tell(f"{problem.found}: not printed there. {_AGAIN}")
                self.repaint()
            else:
                self.refused(problem)
            return
        if isinstance(value, Grade) and question.whole_region and self.stop.region in self.viewing.look_again:
            self._unmark()
        self._after()

    def _unmark(self) -> None:
        """A new grade of the whole is the second look: the mark has done its work."""
        step = look.again(self.bench, self.session_id, self.stop.region, False)
        self.session = step.session

    def _fault(self, digit: int) -> None:
        assert isinstance(self.asked, FaultAsking)
        if digit == 0:
            region = self.stop.region
            if self.asked.seen or region not in self.viewing.faultless:
                self.save(partial(look.faults, self.bench, self.session_id, region, ()))
            self._after()
            return
        toggled = self.asked.toggled(digit)
        if isinstance(toggled, str):
            self.tell(toggled)
            return
        name, seen = toggled
        self.save(partial(look.fault, self.bench, self.session_id, self.stop.region, name, seen=seen))

    def changed(self) -> None:
        if self.mode == "asking" and self.session.viewing is not None:
            self._stand(self.place)
        super().changed()

    def turned(self, step: Step) -> None:
        """Undo returns to the very question it opened again."""
        if self.session.viewing is None:
            self.mode, self.route = "start", None
            return
        self.route = viewing.route(self.session, self.sheet)
        entry = step.entries[0]
        region, _, rest = entry.subject.partition("/")
        wanted = viewing.FAULTS if entry.kind == "fault" else rest
        for place, stop in enumerate(self.route.flat()):
            if entry.kind in ("answer", "fault") and stop.region == region and stop.id == wanted:
                self._stand(place)

    # Moving -----------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if self.route is None or self.mode == "start":
            return
        if way in ("left", "right"):
            if self.mode != "asking":
                if way == "left":
                    self._stand(self.place)
                elif self.mode == "pause":
                    self.action_enter()
                    return
            else:
                place = self.place + (1 if way == "right" else -1)
                self._stand(max(0, min(place, len(self.route.flat()) - 1)))
            self.refresh_page()
        elif way in ("up", "down"):
            order = [region.id for region in self.route.regions]
            at = order.index(self.stop.region) + (1 if way == "down" else -1)
            if 0 <= at < len(order):
                self._to_region(order[at], first_open=True)

    def _to_region(self, region_id: str, *, first_open: bool) -> None:
        assert self.route is not None
        stops = self.route.stops[region_id]
        stop = stops[0]
        if first_open:
            stop = next(
                (each for each in stops if not viewing.answered(self.viewing, each, self.route)), stop
            )
        self._stand(self.route.flat().index(stop))
        self.refresh_page()

    def back(self) -> None:
        if self.large:
            self.action_map()
        elif self.mode == "start" and self.session.viewing is not None:
            self._go_on()
            self.refresh_page()
        elif self.mode == "asking" and self.asked is not None and self.asked.clear():
            self.refresh_page()
        else:
            super().back()

    # Second look, second viewing, remark, map, darkness -----------------------------------------------------

    def action_again(self) -> None:
        if self.route is None:
            self.tell("A viewing begins with 1 or 2.")
            return
        wanted = self.stop.region not in self.viewing.look_again
        self.save(partial(look.again, self.bench, self.session_id, self.stop.region, wanted))

    def action_viewing(self) -> None:
        self.mode, self.route = "start", None
        self.refresh_page()

    def remark_subject(self) -> tuple[str, str, int | None]:
        if self.route is None:
            return super().remark_subject()
        region = self.shown_region
        return region.id, lower_first(region.title), self.viewing.id

    def action_map(self) -> None:
        self.large = not self.large
        self.refresh_page()

    def action_dark(self) -> None:
        if self.drydown.dimmed():
            self.drydown.push_screen(Dark(), lambda _: self.drydown.undim())
        else:
            self.tell("d once more: dark until a key.")

    def reload(self) -> None:
        from evaluation.work import say

        self.session = say.session(self.bench, self.session_id)

    def as_text(self) -> str:
        if self.route is None:
            return self.print_title() + "\n"
        rows = [self.print_title(), self.who(), ""]
        for region in self.route.regions:
            rows += [region.title]
            rows += [
                f"  {stop.name:<21}{look_lines.said_words(self.viewing, self.route, stop)}"
                for stop in self.route.stops[region.id]
            ]
        return "\n".join(rows) + "\n"
