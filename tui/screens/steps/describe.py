"""Describe: the printing condition, a row a field. Text until Enter opens it; every field is remembered."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Final

from textual.app import ComposeResult

from evaluation.plain_text import visible
from evaluation.progress import open_fields
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.describe import fields, profiles
from evaluation.work.describe.fields import FIELDS, FormField
from evaluation.work.log import Entered
from tui import keys
from tui.screens.steps.step import StepPage
from tui.widgets.lines import Line, cell, wrapped
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_VALUE_AT: Final = 23  # column of the values
_ON: Final = " go on to Prepare ..."


class Describe(StepPage):
    """Opens on the first field that is needed and open."""

    PAGE = "describe"
    BINDINGS = keys.bindings("describe")
    TEXT = (
        "How the print was made. Enter opens a row, and only then do letters type; Right takes the "
        "completion, Up and Down go through earlier entries. Some fields are chosen by a digit."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.earlier: Session | None = fields.earlier_session(bench, self.session)
        self.facts = ""
        self.choosing: FormField | None = None

    def body(self) -> ComposeResult:
        with Frame("list", "The printing condition", classes="panel here bare-low"):
            yield RowList("fields", moved=self.moved, chosen=self.action_enter)
        yield Panel("about", classes="panel bare-low")

    def on_mount(self) -> None:
        self.list_here.show(self._rows, len(FIELDS) + 1, self._first_open())
        self._read_facts()

    def who(self) -> str:
        return f"copied from session {self.session.copied_from}" if self.session.copied_from else ""

    def foot_state(self) -> str:
        return "describe.choice" if self.choosing else "describe"

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(FIELDS) + 1)
        self._about()

    def _first_open(self) -> int:
        missing = open_fields(self.session.condition)
        ids = [field.id for field in FIELDS]
        return min((ids.index(name) for name in missing), default=0)

    def _read_facts(self) -> None:
        """What the profile's own bytes say; a profile that cannot be read is told, the rest stays."""

        def read() -> None:
            self.facts = profiles.profile_facts(self.bench, self.session)

        self.facts = ""
        self.attempt(read)

    def _rows(self, start: int, count: int) -> list[Line]:
        rows: list[Line] = [self._row(field) for field in FIELDS]
        return [*rows, ((_ON, "quiet"),)][start : start + count]

    def _row(self, field: FormField) -> Line:
        room = self.list_here.room - _VALUE_AT - 2
        value = fields.shown(self.session.condition, field.id)
        note = fields.note(field.id, self.session, self.earlier)
        wide = min(34 if room < 77 else 46, room - 24) if note else room
        return (
            (f" {cell(field.title, _VALUE_AT - 3)}{cell(value, wide)}", ""),
            (cell(note, room - wide), "quiet"),
        )

    def _about(self) -> None:
        title = self.field.title if self.field is not None else "all described"
        self.one("about").called(title[:1].upper() + title[1:])
        self.one("about").show(self._about_lines)

    def _about_lines(self, width: int, height: int) -> Sequence[Line]:
        """The choices of an opened row, else what its profile says or what belongs into it."""
        field = self.field
        if field is None:
            return [f"   {row}" for row in wrapped(self._still_open(), width - 6, height)]
        if numbered := fields.numbered(field):
            shown = "   ".join(f"{place} {choice}" for place, choice in enumerate(numbered, 1))
            shown += "" if field.choices else "   other: Enter, then type it"
            told = [*wrapped(shown, width - 6), *wrapped(field.help, width - 6)]
            return [f"   {row}" for row in told[:height]]
        text = self.facts if field.id in ("profile", "intent") and self.facts else field.help
        if field.id == "profile":
            text = f"{text} p looks for it in folders."
        return [f"   {row}" for row in wrapped(text, width - 6, height)] if text else [""]

    def _still_open(self) -> str:
        missing = open_fields(self.session.condition)
        names = ", ".join(field.title for field in FIELDS if field.id in missing)
        told = (
            f"Still open, to be filled in now or later: {names}."
            if names
            else "All that is needed is filled in."
        )
        return f"{told} Enter goes on to Prepare."

    @property
    def field(self) -> FormField | None:
        """The field under the cursor; None on the row that goes on, which comes last."""
        row = self.list_here.cursor
        return FIELDS[row] if row < len(FIELDS) else None

    def moved(self) -> None:
        self.choosing = None
        self._about()
        self.refresh_foot()

    def move(self, way: str) -> None:
        if way == "left" and self.choosing:
            self._close()
        else:
            self.list_here.move(way)

    def back(self) -> None:
        if self.choosing:
            self._close()
        else:
            super().back()

    def _close(self) -> None:
        self.choosing = None
        self._about()
        self.refresh_foot()

    def action_enter(self) -> None:
        field = self.field
        if field is None:
            super().go_to("prepare")
        elif self.choosing:
            self._close()
        elif field.choices:
            self.choosing = field
            self._about()
            self.refresh_foot()
        else:
            known = fields.offered(self.bench, field.id) if field.kind in ("text", "size") else ()
            self.type_text(
                "",
                "" if field.kind == "time" else fields.shown(self.session.condition, field.id),
                partial(self._say, field),
                at=partial(self.list_here.from_column, _VALUE_AT),
                known=known,
                anew=True,
                about=field.id,
            )

    async def action_facts(self) -> None:
        """What readers ask for, which nobody grades."""
        from tui.screens.facts.page import FactsForReaders

        await self.app.push_screen(FactsForReaders(self.bench, self.session_id))

    async def action_choose(self) -> None:
        """The profile, by looking through folders."""
        from tui.screens.tools.choose import PROFILE, ChooseFile

        await self.app.push_screen(ChooseFile(self.bench, PROFILE, self._chosen))

    def _chosen(self, path: Path) -> None:
        profile = next(field for field in FIELDS if field.id == "profile")
        self.list_here.put(FIELDS.index(profile))
        self.attempt(partial(self._say, profile, str(path)))

    def action_digit(self, digit: str) -> None:
        field = self.field
        numbered = fields.numbered(field) if field is not None else ()
        if field is None or not numbered:
            self.tell("Enter opens the row; then letters and digits type.")
        elif int(digit) > len(numbered):
            self.tell(f"Choices run from 1 to {len(numbered)}.")
        else:
            self.attempt(partial(self._say, field, numbered[int(digit) - 1]))

    def _say(self, field: FormField, typed: str) -> None:
        """Keep what was typed, unless nothing changed, and step to the next row. Raises DrydownError."""
        before = fields.shown(self.session.condition, field.id)
        if typed.strip() == visible(before) and not (field.id == "profile" and typed):
            if before:
                self._next()
            return
        self.took(fields.say_field(self.bench, self.session_id, field.id, typed))
        if field.id == "profile":
            self._read_facts()
        self._next()

    def _next(self) -> None:
        """After an answer: the next open field that is needed, else the row below."""
        self.choosing = None
        rows = self.list_here
        missing = open_fields(self.session.condition)
        below = [row for row, field in enumerate(FIELDS) if row > rows.cursor and field.id in missing]
        if self.session.copied_from and (below or not missing):
            rows.put(below[0] if below else len(FIELDS))
        else:
            rows.move("down")
        self.refresh_page()

    def turned(self, step: Entered) -> None:
        ids = [field.id for field in FIELDS]
        subject = step.entries[0].subject
        subject = "sheet_size" if subject.startswith("sheet_") else subject.removesuffix("_digest")
        if subject in ids:
            self.list_here.put(ids.index(subject))

    def go_to(self, where: str) -> None:
        missing = open_fields(self.session.condition)
        if where == "next" and missing:
            self.list_here.put(self._first_open())
            names = ", ".join(field.title for field in FIELDS if field.id in missing)
            self.tell(f"Still open: {names}. g 2 goes on.")
        else:
            super().go_to(where)

    def as_text(self) -> str:
        rows = [
            f"{field.title:<22}{fields.shown(self.session.condition, field.id)}".rstrip() for field in FIELDS
        ]
        return "\n".join([self.print_title(), "", *rows, "", self.facts]).rstrip() + "\n"
