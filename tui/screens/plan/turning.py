"""Undo and redo on the pages of a loan: what stands on another of them is asked about first."""

from collections.abc import Collection
from functools import partial
from typing import ClassVar

from evaluation.loan import Loan, LoanKind
from evaluation.work.plan import doing
from evaluation.work.plan.doing import Turn
from tui.screens.base.page import Page


class Turning(Page):
    """Subclasses say which kinds of entries they show, and draw what is after a turn."""

    SHOWS: ClassVar[Collection[LoanKind]] = ()

    def loan_here(self) -> Loan | None:
        """The loan of the page; None before one is begun."""
        return None

    def loan_turned(self) -> None:
        """Something was undone or redone: show the loan as it stands."""

    def action_undo(self) -> None:
        self._turn("undo")

    def action_redo(self) -> None:
        self._turn("redo")

    def _turn(self, way: Turn) -> None:
        loan = self.loan_here()
        if loan is None:
            self.tell(f"Nothing left to {way} here.")
            return
        asked: list[str] = []
        if not self.attempt(lambda: asked.append(doing.out_of_sight(self.bench, loan, way, self.SHOWS))):
            return
        if asked[0]:
            self.ask(asked[0], {"1": partial(self._turned, loan, way)})
        else:
            self._turned(loan, way)

    def _turned(self, loan: Loan, way: Turn) -> None:
        found: list[str] = []
        if self.attempt(lambda: found.append(doing.turned_words(self.bench, loan, way))):
            self.loan_turned()
            self.tell(found[0] or f"Nothing left to {way} here.")
