"""Look: one region, one question at a time. Every answer is saved as it is given; no reading shows here."""

from collections.abc import Sequence
from functools import partial
from typing import Final, Literal

from textual.app import ComposeResult

from evaluation.entry import Entry
from evaluation.observer import own_name
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import fields
from evaluation.work.log import Entered
from evaluation.work.look import look
from tui import keys, theme
from tui.screens.look import lines as look_lines
from tui.screens.look import viewing
from tui.screens.look.answering import Answering
from tui.screens.look.dark import Dark
from tui.screens.steps.step import lower_first
from tui.widgets.panel import Panel
from tui.widgets.sheet_map import map_size, sheet_map

_FIRST_OBSERVER: Final = "observer 1"
_COURSE: Final = 42  # columns of the panel that lists the regions
_OUTSIDE: Final = 8  # rows of head, frame, what was said and keys
_LEAST_MAP: Final = 20  # columns
# What a key would change out of sight while the map takes the whole page.
_COVERED: Final = ("digit", "yes", "no", "enter", "again", "absent", "viewing")


class Look(Answering):
    """Shows the course of the newest viewing, and moves through it."""

    PAGE = "look"
    BINDINGS = keys.bindings("look")
    TEXT = (
        "One region at a time, one question at a time. Your answer is saved as you give it. Readings stay "
        "out of sight until the region has its grade."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.large = False
        self._drawn: object = None  # what the map shows
        self.observer = self._last_observer()
        if self.session.viewing is not None and look.is_looked_at_here(bench, session_id):
            self.course.go_on()

    def _last_observer(self) -> str:
        earlier = self.session.viewing
        if earlier is None and (before := fields.earlier_session(self.bench, self.session)):
            earlier = before.viewing
        return own_name(earlier.observer) if earlier else _FIRST_OBSERVER

    def on_mount(self) -> None:
        self.observer = self.desk.observers.get(self.session_id, self.observer)

    def body(self) -> ComposeResult:
        yield Panel("map", "The sheet", classes="panel boxed")
        yield Panel("question", classes="panel boxed here")
        yield Panel("course", "The viewing", classes="panel boxed")

    # Drawing ----------------------------------------------------------------------------------------------

    def foot_state(self) -> str:
        course = self.course
        if course.mode == "asking" and course.asked is not None:
            return course.asked.foot
        if course.mode == "finished" and self.sheet.absent:
            return "look.lacking"
        return f"look.{course.mode}"

    def repaint(self) -> None:
        course = self.course
        here = course.stop.region if course.inside else ""
        question = self.one("question")
        self.set_class(self.large, "-large")
        self.set_class(course.inside, "-inside")
        if course.inside:
            self._draw_sheet(here)
        question.called(*look_lines.title(course))
        question.show(partial(look_lines.question_panel, course, self.session, self.sheet, self.observer))
        self.one("course").show(partial(look_lines.course_panel, course))

    def _draw_sheet(self, here: str) -> None:
        """The sheet with a region framed; drawn anew only where something of it is another."""
        drawn, greys, room = self.one("map"), self._greys(), self._room_of_map()
        now = (here, greys, room, self.sheet)
        if now != self._drawn:
            self._drawn = now
            drawn.styles.width = map_size(self.sheet, *room)[0] + 2
            drawn.show(lambda width, height: sheet_map(self.sheet, here, width, height, greys=greys))

    def _greys(self) -> tuple[int, int, int] | None:
        """What the sheet is drawn in; nothing where there are no colours, or no half blocks."""
        return None if self.desk.config.plain_signs else theme.tones(self.app.theme)

    def _room_of_map(self) -> tuple[int, int]:
        """Columns and rows for the sheet, inside its frame."""
        width, height = self.size
        share = width - _COURSE if self.large else width * 5 // 16
        return max(_LEAST_MAP, share - 4), max(1, height - _OUTSIDE)

    def on_resize(self) -> None:
        self.call_after_refresh(self.refresh_page)

    # Keys -------------------------------------------------------------------------------------------------

    def action_enter(self) -> None:
        course = self.course
        if course.mode == "start":
            self.type_text("Observer", self.observer, self._take_observer)
        elif course.mode == "pause":
            self.said = ""
            course.go_further()
            self.refresh_page()
        elif course.mode == "finished":
            self._from_finished()
        else:
            self.entered()

    def _from_finished(self) -> None:
        left = viewing.left_open(self.course.viewing, self.course.begun)
        if left:
            self.course.to_region(left[0][0].id, first_open=left[0][1] != viewing.TO_LOOK_AGAIN)
            self.refresh_page()
        else:
            self.go_to("weigh" if self.session.runs else "read")

    def _take_observer(self, typed: str) -> None:
        self.observer = self.desk.observers[self.session_id] = typed.strip() or _FIRST_OBSERVER
        self.refresh_page()

    def start(self, digit: str) -> None:
        if digit not in "12":
            self.tell("1 short viewing, 2 full viewing.")
            return

        def begin() -> None:
            kind: Literal["quick", "full"] = "quick" if digit == "1" else "full"
            look.start(self.bench, self.session_id, observer=self.observer, kind=kind)
            self.session = log.session(self.bench, self.session_id)
            self.said = ""
            self.course.go_on()
            self.refresh_page()

        self.attempt(begin)

    def changed(self) -> None:
        self.sheet = sheet_of(self.bench, self.session)
        self.course.anew()
        super().changed()

    def turned(self, step: Entered) -> None:
        self.large = False
        self.course.turned(step)

    def shows(self, action: Sequence[Entry]) -> bool:
        """A question that this viewing does not ask, or no more, is out of sight."""
        return all(self.course.has(entry) for entry in action)

    def covered(self) -> str:
        hidden = self.course.mode == "start" and self.session.viewing is not None
        return "1 or 2 begins another viewing; Esc goes back to the one before." if hidden else ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        if self.large and action in _COVERED:
            self.tell("m brings the question back.")
            return False
        return super().check_action(action, parameters)

    # Moving -----------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        course = self.course
        if not course.inside or self.held():
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
        elif not self.begin_again():
            super().back()

    # Second look, second viewing, remark, map, darkness -----------------------------------------------------

    def action_again(self) -> None:
        if not self.course.inside:
            self.tell("A viewing begins with 1 or 2.")
            return
        region = self.course.about.id
        wanted = region not in self.course.viewing.look_again
        self.save(partial(look.again, self.bench, self.session_id, region, wanted, at_hand=self.session))

    def action_absent(self) -> None:
        """The print lacks the region in hand. From the end of the viewing a region is put back."""
        if self.course.mode in ("asking", "pause"):
            self._lacking()
        elif not self.sheet.absent:
            self.tell("x, at a region: it is not on this sheet.")
        else:
            numbered = list(enumerate(self.sheet.absent[:9], 1))
            answers = {
                str(place): partial(self.save, partial(self._said_absent, region.id, False))
                for place, region in numbered
            }
            names = ", ".join(f"{place} {lower_first(region.title)}" for place, region in numbered)
            self.ask(f"Back on this sheet: {names}; 0 none.", answers)

    def _lacking(self) -> None:
        region = self.course.region
        said = look_lines.count_said(self.session, region.id)
        lacks = partial(self.save, partial(self._said_absent, region.id, True))
        if self.held():
            return
        if said:
            words = "The answer" if said == 1 else f"The {said} answers"
            self.ask(f"Not on this sheet? {words} about it will no longer count. 1 yes, 0 no.", {"1": lacks})
        else:
            lacks()

    def _said_absent(self, region: str, lacking: bool) -> Entered:
        return look.absent(self.bench, self.session_id, region, lacking, at_hand=self.session)

    def action_viewing(self) -> None:
        if not self.held():
            self.course.leave()
            self.refresh_page()

    def remark_subject(self) -> tuple[str, str, int | None]:
        if not self.course.inside:
            return super().remark_subject()
        region = self.course.about
        return region.id, lower_first(region.title), self.course.viewing.id

    def region_in_hand(self) -> str:
        return self.course.stop.region if self.course.inside else ""

    def action_map(self) -> None:
        self.large = not self.large
        self.said = "m brings the question back." if self.large else ""
        self.refresh_page()

    def action_dark(self) -> None:
        if self.desk.dimmed():
            self.app.push_screen(Dark(), lambda _: self.desk.undim())
        else:
            self.tell("d once more: dark until a key.")

    def as_text(self) -> str:
        route = self.course.route
        if route is None:
            return self.print_title() + "\n"
        return look_lines.as_text((self.print_title(), self.who()), self.course.viewing, route)
