"""The reference test image: what it shall be, drawn with progress, and how to print it."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final

from textual.app import ComposeResult
from textual.events import Key
from textual.widgets import ProgressBar

from evaluation.sheet.request import SheetFiles, SheetRequest
from evaluation.work.bench import Bench
from evaluation.work.describe import fields, sheets, wanted_sheet
from evaluation.work.describe.wanted_sheet import FIELDS, WantedField
from tui import keys
from tui.screens.base.choice_lines import VALUE_AT, choice_row, letter_of
from tui.screens.base.paths import documents, short, typed_path
from tui.screens.base.slow import SlowPage, Tell
from tui.widgets import head
from tui.widgets.lines import Line, paragraphs
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_PICTURE: Final = "own picture"
_UNITS: Final = {"resolution": " ppi", "margins": " mm"}  # typed without them
_FILE: Final = "The test image; patch list, map, pages and form are written beside it."
_PRINTING: Final = (
    "Print it as you print your pictures: at 100 %, never fitted to the page; no sharpening, no correction; "
    "the same profile, intent, media setting and quality as the prints you want to judge. Then let it dry.",
    "Care: hands, hair and sleeves away from carriage and cutter; a heavy roll is lifted by two; ink is kept "
    "off skin and eyes. The maker's manual decides.",
)


class DrawSheet(SlowPage):
    """Opened from Home, or from a session, which the sheet's code is then filled into."""

    PAGE = "draw_sheet"
    BINDINGS = keys.bindings("draw_sheet")
    TEXT = (
        "The reference test image for your paper, with patch list, patch pages and a form for the booth. "
        "Enter opens a row; o writes the files. A code is printed on it: a session finds its sheet by that."
    )

    def __init__(self, bench: Bench, session_id: int | None = None, *, mono: bool = False) -> None:
        super().__init__(bench)
        self.session_id = session_id
        self.wanted = SheetRequest(mono=mono)
        self.path = documents() / "test-image.tif"
        self.choosing = False
        self.written: SheetFiles | None = None

    def body(self) -> ComposeResult:
        with Frame("list", "The test image"):
            yield RowList("choices", moved=self.moved, chosen=self.action_enter)
        yield ProgressBar(show_eta=False)
        yield Panel("about")

    def head_lines(self, width: int) -> Sequence[Line]:
        of = f"for session {self.session_id}" if self.session_id is not None else ""
        return head.plain_head("Draw the reference test image", of, width)

    def session_in_hand(self) -> int | None:
        return self.session_id

    def foot_state(self) -> str:
        if self.busy:
            return "draw_sheet.busy"
        return "draw_sheet.choice" if self.choosing else "draw_sheet"

    # What is wanted ---------------------------------------------------------------------------------------

    @property
    def field(self) -> WantedField | None:
        """The field under the cursor; None on the file, which comes last."""
        row = self.list_here.cursor
        return FIELDS[row] if row < len(FIELDS) else None

    # Drawing ----------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(FIELDS) + 1)
        self.show_bar()
        self._about()

    def _rows(self, start: int, count: int) -> list[Line]:
        here, room = self.list_here.cursor, self.list_here.room
        rows = [
            choice_row(
                field.name,
                self._shown(field.name),
                self._choices(field, opened := self.choosing and row == here),
                opened=opened,
                room=room,
                values=20,
            )
            for row, field in enumerate(FIELDS)
        ]
        rows.append(choice_row("file", short(self.path, room - VALUE_AT - 2), (), opened=False, room=room))
        return rows[start : start + count]

    def _choices(self, field: WantedField, opened: bool) -> list[str]:
        value = wanted_sheet.shown(self.wanted, field.name)
        return [choice for choice in field.choices if opened or choice != value]

    def _shown(self, name: str) -> str:
        """A value as its row shows it: pictures by their names, which are what tells them apart."""
        if name == _PICTURE and self.wanted.pictures:
            return ", ".join(path.name for path in self.wanted.pictures)
        return f"{wanted_sheet.shown(self.wanted, name)}{_UNITS.get(name, '')}"

    def _about(self) -> None:
        self.set_class(self.written is not None, "-written")
        name = "file" if self.field is None else self.field.name
        self.one("about").called("Written" if self.written else name[:1].upper() + name[1:])
        self.one("about").show(self._about_lines)

    def _about_lines(self, width: int, height: int) -> list[Line]:
        if self.written is None:
            told = self.field.help if self.field else _FILE
            if self.field is not None and self.field.name == _PICTURE:
                told += " p looks for it in folders."
            return paragraphs([told], width)
        files = (
            *self.written.leaves,
            self.written.patches,
            self.written.map,
            self.written.form,
            *self.written.pages,
        )
        names = ", ".join(file.name for file in files if file is not None)
        told = [
            f"{short(self.written.sheet)}; beside it {names}.",
            f"Code of this sheet: {self.written.code}. {self._tied()}",
            *self.written.remarks,
            *_PRINTING,
        ]
        return paragraphs(told, width)

    def _tied(self) -> str:
        if self.session_id is None:
            return "In Describe, the row “sheet” takes it."
        return f"Session {self.session_id} has it."

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if way == "left" and self.choosing:
            self.back()
        else:
            self.list_here.move(way)

    def moved(self) -> None:
        self.choosing = False
        self.written = None
        self.refresh_page()

    def back(self) -> None:
        if self.busy:
            self.stop()
        elif self.choosing:
            self.hint_goes()
            self.choosing = False
            self.refresh_page()
        else:
            self.app.pop_screen()

    def action_enter(self) -> None:
        field = self.field
        if field is not None and field.choices and not (self.choosing and field.free):
            self.choosing = not self.choosing
            self.refresh_page()
            return
        self._type()

    def on_key(self, event: Key) -> None:
        """A letter in an opened row that can also be typed is its first."""
        letter = letter_of(event)
        if letter and self.choosing and self.field is not None and self.field.free:
            event.stop()
            self._type(letter)

    def _type(self, begun: str = "") -> None:
        field, self.choosing = self.field, False
        self.refresh_page()  # the digits of the opened row no longer choose
        value = short(self.path) if field is None else wanted_sheet.shown(self.wanted, field.name)
        about = "file" if field is None else field.name
        value = "" if value == wanted_sheet.NONE else value
        at = partial(self.list_here.from_column, VALUE_AT)
        self.type_text("", value, self._typed, at=at, anew=True, about=about, begun=begun)

    async def action_choose(self) -> None:
        """One's own picture, by looking through folders; one more beside those that are there."""
        from tui.screens.tools.choose import PICTURE, ChooseFile

        if not self.busy:
            await self.app.push_screen(ChooseFile(self.bench, PICTURE, self._chosen))

    def _chosen(self, path: Path) -> None:
        self.list_here.put([field.name for field in FIELDS].index(_PICTURE))
        there = [str(each) for each in self.wanted.pictures if each != path]
        self.attempt(partial(self._typed, ", ".join([*there, str(path)])))

    def _typed(self, text: str) -> None:
        """Keep what was typed. Raises DrydownError."""
        if self.field is not None:
            self.wanted = wanted_sheet.asked(self.wanted, self.field.name, text)
        elif text.strip():
            path = typed_path(text)
            path = path / self.path.name if path.is_dir() else path
            self.path = path if path.suffix else path.with_suffix(".tif")
        self.refresh_page()

    def action_digit(self, digit: str) -> None:
        field = self.field
        if field is None or not field.choices:
            self.tell("Enter opens the row; then letters and digits type.")
        elif int(digit) > len(field.choices):
            self.tell(f"Choices run from 1 to {len(field.choices)}.")
        else:
            self.choosing = False
            self.attempt(partial(self._typed, field.choices[int(digit) - 1]))

    # Writing ----------------------------------------------------------------------------------------------

    def action_out(self) -> None:
        if self.path.exists():
            self.ask(f"{self.path.name} exists. Write over it? 1 yes, 0 no.", {"1": self._start})
        else:
            self._start()

    def _start(self) -> None:
        self.written = None
        stopped = "No sheet was written: stopped. What was there before stays."
        self.start_slow("drawing", "Drawing", partial(self._draw, self.wanted, self.path), stopped)

    def _draw(self, wanted: SheetRequest, path: Path, bench: Bench, tell: Tell) -> SheetFiles:
        written, kept = sheets.draw(bench, wanted, path, tell)
        if kept and self.session_id is not None:
            fields.say_field(bench, self.session_id, "sheet_size", written.code)
        return written

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.written = value
        self.said = f"Written: {short(self.path, self.size.width - 13)}."
        self.refresh_page()
