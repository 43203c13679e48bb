"""A file in hand in Read: what it states, what it leaves open, and what was said about it. Draws as lines."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from evaluation.readings.supplied import OpenQuestion, Supplied
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.work.bench import Bench
from evaluation.work.take_in import facts, read
from evaluation.work.take_in.facts import FileFact
from evaluation.work.take_in.read import Preview
from tui.screens.read import lines as read_lines
from tui.widgets.lines import Line

Known = tuple[Preview, tuple[FileFact, ...]]


@dataclass(slots=True)
class FileInHand:
    """`preview` and `facts` once it was read; `asks` while it leaves open what changes numbers."""

    path: Path
    kept_as: str = ""  # digest of a profile of the session's own
    words: Supplied = field(default_factory=Supplied)
    preview: Preview | None = None
    facts: tuple[FileFact, ...] = ()
    asks: tuple[OpenQuestion, ...] = ()
    choosing: bool = False  # the answers of the row under the cursor are shown

    @property
    def state(self) -> str:
        if self.asks:
            return "asked"
        return "preview" if self.preview is not None else "unread"

    def reading(self, session_id: int) -> Callable[[Bench, object], Known]:
        """The job that reads it, with what was said so far."""
        path, words, kept_as = self.path, self.words, self.kept_as

        def work(bench: Bench, _progress: object) -> Known:
            found = read.preview(bench, session_id, path, words, kept_as=kept_as)
            return found, facts.facts(bench, session_id, found)

        return work

    def known(self, found: Known) -> None:
        self.preview, self.facts = found
        self.asks, self.choosing = (), False

    def say(self, about: str, answer: str) -> None:
        """Something is said about the file; it counts when the file is read with it."""
        self.words = facts.said_with(self.words, about, answer)
        self.choosing = False

    def answers(self, row: int) -> tuple[str, tuple[str, ...]]:
        """What a row is about, and the answers that a digit gives."""
        if self.asks:
            return self.asks[row].field, self.asks[row].answers
        return self.facts[row].field, self.facts[row].answers

    # As lines ---------------------------------------------------------------------------------------------

    @property
    def count(self) -> int:
        return len(self.asks or self.facts)

    @property
    def first_open(self) -> int:
        """The first row that the file does not state and a person can."""
        open_rows = (row for row, fact in enumerate(self.facts) if fact.value == "not stated" and fact.field)
        return 0 if self.asks else next(open_rows, 0)

    def rows(self, start: int, count: int, width: int) -> list[Line]:
        if self.asks:
            return [read_lines.ask_row(ask, width) for ask in self.asks[start : start + count]]
        return [read_lines.fact_row(fact, width) for fact in self.facts[start : start + count]]

    def below(self, row: int, session: Session, sheet: Sheet, width: int, room: int) -> list[Line]:
        """The choices of a row, or what looks odd and what stays out of sight; rows have `room` columns."""
        if self.asks:
            return read_lines.ask_foot(self.asks[row], width)
        assert self.preview is not None
        options = self.facts[row].answers if self.choosing else ()
        values = facts.values_line(session, sheet, self.preview)
        here = read_lines.fact_whole(self.facts[row], room)
        return read_lines.preview_foot(self.preview.remarks, values, options, width, here)
