"""What the six steps of a session share: its header, saved and undone things in words, remarks."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from functools import partial
from typing import ClassVar, Final

from evaluation import progress
from evaluation.entry import Entry
from evaluation.plain_text import visible
from evaluation.session import Session
from evaluation.work import home, log, undo
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.log import Entered
from tui import keys
from tui.screens.base.page import Page
from tui.widgets import head
from tui.widgets.lines import Line

_VERBS: Final[Mapping[undo.Turn, str]] = {"undo": "undo", "redo": "redo"}
_TURNED: Final[Mapping[undo.Turn, str]] = {"undo": "Undone", "redo": "Redone"}


class StepPage(Page):
    """One step of one session, which is loaded anew each time it is opened."""

    PAGE: ClassVar[undo.Page]
    HEAD: ClassVar[str] = "steps"

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench)
        self.session_id = session_id
        self.session: Session = log.session(bench, session_id)
        self.sheet = sheet_of(bench, self.session)
        self._conditions: tuple[frozenset[int], tuple[str, ...]] = (frozenset(), ())
        self._disagree: tuple[int, int | None] = (-1, None)  # at which revision, in how many regions

    def session_in_hand(self) -> int:
        return self.session_id

    def drawn_for(self) -> int | None:
        return self.session_id

    def came_back(self) -> None:
        """Something may have been entered on the page that was above, such as a sheet."""
        self.session = log.session(self.bench, self.session_id)
        self.changed()

    def print_title(self) -> str:
        return f"{self.session.condition.paper or 'No paper named'}, session {self.session_id}"

    def who(self) -> str:
        viewing = self.session.viewing
        if viewing is None:
            return ""
        unseen = ", earlier unseen" if viewing.ordinal > 1 and self.PAGE == "look" else ""
        return f"{viewing.observer}, viewing {viewing.ordinal}{unseen}"

    def head_lines(self, width: int) -> Sequence[Line]:
        states = {key: step.words for key, step in zip(keys.STEPS, self.steps(), strict=True)}
        return head.stepper(self.print_title(), self.who(), states, self.PAGE, width)

    def steps(self) -> tuple[progress.Step, ...]:
        return progress.steps(
            self.session,
            self.sheet,
            self.bench.now(),
            conditions=self.conditions(),
            disagree=self.disagree(),
            clocks=self.bench.clocks,
        )

    def disagree(self) -> int | None:
        """As last weighed, looked up again only when the session is another by now."""
        done, regions = progress.looked(self.session, self.sheet)
        if done == regions and self._disagree[0] != self.session.revision:
            self._disagree = (self.session.revision, home.disagreeing(self.bench, self.session))
        return self._disagree[1] if self._disagree[0] == self.session.revision else None

    def conditions(self) -> tuple[str, ...]:
        """Conditions of the readings that are in, looked up again only when other readings are."""
        runs, known = self._conditions
        if runs != self.session.runs:
            known = log.conditions(self.bench, self.session)
            self._conditions = (self.session.runs, known)
        return known

    def go_to(self, where: str) -> None:
        """Weighing works itself out, so nothing there is ever open; one still passes by it."""
        if where == "next" and self.PAGE in ("look", "read") and self._coming() in (None, "Write up"):
            where = "weigh"
        super().go_to(where)

    def _coming(self) -> str | None:
        coming = progress.coming(self.session, self.sheet, self.bench.now(), self.bench.clocks)
        return coming.step if coming else None

    def file_name(self) -> str:
        return f"{self.PAGE.replace('_', '-')}-{self.session_id}.txt"

    # What was said ----------------------------------------------------------------------------------------

    def save(self, verb: Callable[[], Entered]) -> bool:
        """Say something; it is on disk before it is told as saved. A refusal changes nothing and is told."""
        return self.attempt(lambda: self.took(verb()))

    def took(self, step: Entered) -> None:
        self.noted(step)
        self.changed()

    def noted(self, step: Entered) -> None:
        """The session after a key press and what it saved; drawing it is left to the caller."""
        self.session = step.session
        self.said = f"Saved {clock(self.bench.now())}. {step.words}."

    def changed(self) -> None:
        """After anything was said, undone or said again: show the session as it stands."""
        self.sheet = sheet_of(self.bench, self.session)
        self.refresh_page()

    def action_undo(self) -> None:
        self.attempt(partial(self._offered, "undo"))

    def action_redo(self) -> None:
        self.attempt(partial(self._offered, "redo"))

    def _offered(self, turn: undo.Turn) -> None:
        """Turn what belongs here; ask first where it changes more than is in sight."""
        if covered := self.covered():
            self.tell(covered)
            return
        found = undo.offer(self.bench, self.session, self.PAGE, turn, self.shows)
        if found is None:
            self.tell(self._nothing_here(turn))
        elif found.question:
            yes = partial(self.attempt, partial(self._take, turn, found))
            self.ask(f"{found.question} 1 yes, 0 no.", {"1": yes})
        else:
            self._take(turn, found)

    def _take(self, turn: undo.Turn, found: undo.Offer) -> None:
        step = undo.take(self.bench, self.session_id, turn, found)
        if step is None:
            self.tell("Another program was faster; nothing was changed.")
            return
        self.session = step.session
        self.sheet = sheet_of(self.bench, self.session)
        self.said = f"{_TURNED[turn]}: {lower_first(step.words)}."
        self.turned(step)
        self.changed()

    def _nothing_here(self, turn: undo.Turn) -> str:
        page = undo.elsewhere(self.bench, self.session, turn)
        if page is None:
            return f"Nothing left to {_VERBS[turn]} in this session."
        aside = {"typed": "p in Read", "facts": "f in Describe"}
        key = f"g {list(keys.STEPS).index(page) + 1}" if page in keys.STEPS else aside[page]
        return f"Nothing left to {_VERBS[turn]} here; the last entry is in {undo.TITLES[page]} ({key})."

    def covered(self) -> str:
        """What to do first, where something lies over what undo would change; else ""."""
        return ""

    def shows(self, action: Sequence[Entry]) -> bool:
        """Whether what an action of this page changed is in sight here."""
        return True

    def turned(self, step: Entered) -> None:
        """After an undo or a redo: stand where it happened."""

    # Pictures of faults -----------------------------------------------------------------------------------

    def region_in_hand(self) -> str:
        """The region that a picture attached now shows, unless another is chosen; "" for none."""
        return ""

    async def action_attach(self) -> None:
        from tui.screens.tools.attach import open_attach

        await open_attach(self.app, self.bench, self.session_id, self.region_in_hand())

    # Remarks ----------------------------------------------------------------------------------------------

    def remark_subject(self) -> tuple[str, str, int | None]:
        """What a remark written now is about: subject in the log, the same in words, viewing."""
        return self.PAGE, keys.STEPS[self.PAGE], None

    def action_remark(self) -> None:
        subject, words, viewing = self.remark_subject()
        kept = self.session.remarks
        if viewing is not None and self.session.viewing is not None:
            kept = self.session.viewing.remarks
        self.type_text(
            f"Remark on {words}",
            kept.get(subject, ""),
            partial(self._keep_remark, subject, viewing, kept.get(subject, "")),
        )

    def _keep_remark(self, subject: str, viewing: int | None, before: str, text: str) -> None:
        """Keep a remark, unless nothing was changed in it. Raises DrydownError."""
        if text.strip() != visible(before):
            self.took(log.remark(self.bench, self.session_id, subject, text, viewing=viewing))


def clock(moment: datetime) -> str:
    return f"{moment.astimezone():%H:%M}"


def lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]
