"""How a round is answered: a digit names one of what lies there; after the last one a rest, then the next."""

from collections.abc import Sequence
from functools import partial
from typing import Final

from evaluation.judgement.beside.result import RoundsResult
from evaluation.plain_text import listed
from evaluation.rounds import Named, Round
from evaluation.work.bench import Bench
from evaluation.work.sidebyside import sidebyside
from tui.screens.base.bounce import Bounce
from tui.screens.base.page import Page
from tui.screens.sidebyside import lines, lying
from tui.widgets.lines import Line

_NAMED: Final[dict[str, Named]] = {"1": "left", "2": "right", "0": "none"}


class Answering(Page):
    """Takes the keys that answer the round in hand; `found` is what the rounds of these prints say."""

    titles: dict[str, str]  # of every region, by id: the page gives them

    def __init__(self, bench: Bench, session_ids: Sequence[int]) -> None:
        super().__init__(bench)
        self.ids = tuple(session_ids)
        self.round: Round | None = None  # that is being answered, or was just ended
        self.found: RoundsResult = sidebyside.result(bench, self.ids)
        self.observer = ""  # who drew or answered last, on this page
        self.bounce = Bounce()

    @property
    def following(self) -> Round | None:
        """What waits in hand: of whoever was here last, else of anybody."""
        own = [one for one in self.found.waiting if one.observer == self.observer]
        return next(iter(own or self.found.waiting), None)

    def look_up(self) -> None:
        self.found = sidebyside.result(self.bench, self.ids)
        self.refresh_page()

    def lying_lines(self, one: Round, width: int, height: int) -> list[Line]:
        """What lies there, or that the round is done."""
        title = self.titles[one.region]
        if not one.is_open:
            then = self._next_of(one)
            return lying.rest(one, title, None if then is None else (then, self.titles[then.region]))
        drawn = lying.pair if one.three_at_once is None else lying.three
        return drawn(one, title, width, height)

    def take_up(self, one: Round) -> None:
        self.round, self.observer = one, one.observer
        self.tell(f"{self.titles[one.region]}: lay the slips {listed(sorted(one.prints))} on the prints.")
        self.refresh_page()

    def go_on(self) -> None:
        """From the rest after a round to the next one of the same observer, or to the end."""
        one = self.round
        if one is None or one.is_open:
            return
        if (then := self._next_of(one)) is not None:
            self.take_up(then)
            return
        self.round = None
        self.look_up()
        self.tell(lines.ended(one))

    def _next_of(self, one: Round) -> Round | None:
        return next((each for each in self.found.waiting if each.observer == one.observer), None)

    # Keys -------------------------------------------------------------------------------------------------

    def action_digit(self, digit: str) -> None:
        one = self.round
        if one is None:
            self.tell("Enter begins a round; 1, 2 and 0 answer in it.")
            return
        if self.bounce.same(digit, self.desk):
            return
        if one.next is None:
            self.tell("Enter goes on; u takes the last answer back.")
        elif one.three_at_once is not None:
            self._best_of_three(one, digit)
        elif digit not in _NAMED:
            self.tell("1 left, 2 right, 0 no difference.")
        else:
            left, right = one.pairs[one.next]
            self._answer(
                partial(sidebyside.answer, self.bench, one, _NAMED[digit]),
                lines.answered(left, right, _NAMED[digit]),
            )

    def _best_of_three(self, one: Round, digit: str) -> None:
        three = ("", *(one.three_at_once or ()))
        letter = three[int(digit)]
        self._answer(
            partial(sidebyside.best_of_three, self.bench, one, letter),
            f"{', '.join(three[1:])}: {letter or 'no difference'}. Saved.",
        )

    def _answer(self, kept: "partial[Round]", told: str) -> None:
        def answered() -> None:
            self.round = kept()
            self.tell(told)

        if self.attempt(answered):
            self._changed()

    def _changed(self, *, reopened: bool = False) -> None:
        """What rounds say changes when one ends or is taken up again; all else the round itself tells."""
        if reopened or (self.round is not None and not self.round.is_open):
            self.look_up()
        else:
            self.refresh_page()

    def action_undo(self) -> None:
        """The last answer; also that which ended a round, as long as its letters were not shown."""
        one = self.round
        if one is None or not one.answers:
            self.tell("Nothing to undo here.")
            return

        def taken_back() -> None:
            self.round = sidebyside.take_back(self.bench, one, unseen=True)
            self.tell("The last answer was taken back.")

        if self.attempt(taken_back):
            self._changed(reopened=not one.is_open)

    def action_letters(self) -> None:
        """Open the letters before the last answer, when asked twice."""
        one = self.round or self.following
        if one is None or not one.is_open:
            self.tell("No letters are drawn." if one is None else "Enter shows them.")
            return
        self.ask(
            f"Open the letters of round {one.id}? It ends, and that is recorded. 1 yes, 0 no.",
            {"1": partial(self._open, one)},
        )

    def _open(self, one: Round) -> None:
        if self.attempt(lambda: sidebyside.open_letters(self.bench, one)):
            self.round = None
            told = ", ".join(f"{letter} session {session}" for letter, session in sorted(one.prints.items()))
            self.look_up()
            self.tell(f"Opened: {told}.")

    def back(self) -> None:
        one = self.round
        if one is None:
            self.app.pop_screen()
            return
        self.round = None
        self.look_up()
        told = "Every answer is saved. Enter goes on."
        self.tell(told if self.found.waiting or one.is_open else lines.ended(one))
