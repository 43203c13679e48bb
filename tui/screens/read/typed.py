"""Readings typed patch by patch: what is said once on top, then every patch of the sheet, a line each."""

from collections.abc import Sequence
from functools import partial
from typing import Final

from rich.cells import cell_len
from textual.app import ComposeResult

from evaluation.entry import Entry
from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.log import Entered
from evaluation.work.take_in import typed
from evaluation.work.take_in.facts import OPEN
from evaluation.work.take_in.typed import TypedRow
from tui import keys
from tui.screens.steps.step import StepPage
from tui.widgets import head
from tui.widgets.lines import Line, cell, wrapped
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_FIELDS: Final = tuple(typed.ANSWERS)
_NAMES: Final = {"kind": "values"}
_DIGITS: Final = 24  # columns for three numbers
_SAID_AT: Final = 19  # column of what is said once


class Typed(StepPage):
    """Opens on what is not said yet, else on the first patch without a reading."""

    PAGE = "typed"
    BINDINGS = keys.bindings("typed")
    HEAD = "plain"
    TEXT = (
        "Readings typed from an instrument, a patch a line: three numbers for D50 and 2 degrees. Condition, "
        "instrument and backing are entered once, on top; the thirty patches that tell most come first. Each "
        "line is saved as Enter takes it; a second value for a patch corrects it or is a repeat. Whoever "
        "types a number of a region that is not graded yet has seen it: that is recorded, unless somebody "
        "else grades."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.hand = typed.hand(bench, self.session)
        self.by_another: bool | None = None  # whether who types is not who grades; None: nobody was asked
        self.listed: tuple[TypedRow, ...] = typed.listed(bench, self.session, self.hand)

    def body(self) -> ComposeResult:
        with Frame("list", "Readings typed by hand"):
            yield RowList("rows", moved=self.moved, chosen=self.action_enter)
        yield Panel("below", classes="flat")

    def on_mount(self) -> None:
        self.query_one("#list", Frame).called(
            "Readings typed by hand", "the thirty patches that tell most come first"
        )
        unsaid = (row for row, field in enumerate(_FIELDS) if not getattr(self.hand, field))
        unread = (row for row, each in enumerate(self.listed, len(_FIELDS)) if not each.count)
        self._rows().show(self._lines, len(_FIELDS) + len(self.listed), next(unsaid, next(unread, 0)))

    # Drawing ----------------------------------------------------------------------------------------------

    def head_lines(self, width: int) -> Sequence[Line]:
        read = sum(1 for each in self.listed if each.count)
        where = f"typed, {read} of {len(self.listed)} patches"
        return head.plain_head(self.print_title(), where, width)

    def foot_state(self) -> str:
        return "typed" if self._patch() else "typed.said"

    def repaint(self) -> None:
        self._rows().show(self._lines, len(_FIELDS) + len(self.listed))
        patch = self._patch()
        below = ""
        if patch and not patch.shown:
            below = (
                f"{patch.region} has no grade yet, and numbers train the eye: grade it first, or let "
                "somebody else type them."
            )
            if self.by_another is False:
                recorded = "typing its numbers is recorded with its grade."
                below = f"{patch.region} has no grade yet: {recorded}"
        self.one("below").display = bool(below)
        self.one("below").show(lambda width, height: [f"   {row}" for row in wrapped(below, width - 6)])

    def _lines(self, start: int, count: int) -> list[Line]:
        rows = [*_FIELDS, *self.listed][start : start + count]
        named = max((cell_len(each.name) for each in self.listed), default=0) + 2
        return [
            self._said_line(each) if isinstance(each, str) else self._patch_line(each, named) for each in rows
        ]

    def _said_line(self, field: str) -> Line:
        value = getattr(self.hand, field)
        note = "for all that is typed" if value else OPEN
        room = self.list_here.room - _SAID_AT - 22
        return (
            (f" {cell(_NAMES.get(field, field), _SAID_AT - 3)}{cell(value or 'not stated', 22)}", ""),
            (cell(note, room), "quiet"),
        )

    def _patch_line(self, each: TypedRow, named: int) -> Line:
        room = self.list_here.room - _DIGITS - 16
        named = min(named, room * 2 // 3)
        name = f" {cell(each.id, 7)} {cell(each.name, named)}{cell(each.region, room - named)}"
        times = f"{each.count} x" if each.count else ""
        if each.values is not None:
            shown = "".join(f"{value:>8.10g}" for value in each.values)
        else:
            shown = "   out of sight" if each.count else ""
        return (name, ""), (cell(times, 5), "quiet"), (cell(shown, _DIGITS), "")

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if way == "left":
            self.back()
        else:
            self._rows().move(way)

    def moved(self) -> None:
        self.refresh_page()

    def back(self) -> None:
        self.app.pop_screen()

    def action_enter(self) -> None:
        patch = self._patch()
        if patch is not None:
            self._begin(patch)
            return
        field = _FIELDS[self._rows().cursor]
        self.type_text(
            "",
            getattr(self.hand, field),
            partial(self._say, field),
            at=lambda: (*self._rows().place(_SAID_AT), 22),
            known=typed.ANSWERS[field],
            anew=True,
            about=field,
        )

    def _begin(self, patch: TypedRow) -> None:
        """Open the line of a patch. Whoever types a number has seen it: asked once, where that matters."""
        if patch.shown or self.by_another is not None:
            self._open(patch)
        else:
            answers = {digit: partial(self._typist, patch, digit == "2") for digit in "12"}
            self.ask("Not graded. Typed by: 1 its observer, recorded as seen; 2 another; 0 nobody.", answers)

    def _typist(self, patch: TypedRow, by_another: bool) -> None:
        self.by_another = by_another
        self.refresh_page()
        self._open(patch)

    def _open(self, patch: TypedRow) -> None:
        """A line at the place where the numbers of the patch stand."""
        self.type_text(
            "",
            "",
            partial(self._put, patch),
            at=lambda: (*self._rows().place(self._rows().room - _DIGITS - 4), _DIGITS + 2),
            about=patch.id,
        )
        if not self.said:
            self.tell("L* a* b*" if self.hand.kind == "CIELAB" else "X Y Z, the perfect diffuser has Y 100")

    def _say(self, field: str, answer: str) -> None:
        self.hand = typed.said(self.bench, self.hand, field, answer)
        self._reload()
        self._rows().move("down")
        self.refresh_page()

    def _put(self, patch: TypedRow, text: str) -> None:
        """Keep the line and open the next one; an empty one goes on without one. Raises DrydownError."""
        if text.strip() and patch.count:
            typed.understood(text, self.hand.kind, patch.name)
            answers = {digit: partial(self._again, patch, text, digit == "1") for digit in "12"}
            self.ask(f"{patch.name} has a reading. 1 corrects it, 2 is a repeat, 0 neither.", answers)
            return
        if text.strip():
            self._keep(patch, text)
        self._on()

    def _again(self, patch: TypedRow, text: str, instead: bool) -> None:
        """A second value for a patch: in place of the last one, or beside it."""

        def kept() -> None:
            if instead:
                self.noted(typed.take_away(self.bench, self.session_id, patch.id, self.hand))
            self._keep(patch, text)
            self._on()

        self.attempt(kept)

    def _keep(self, patch: TypedRow, text: str) -> None:
        by_another = bool(self.by_another)
        self.noted(typed.put(self.bench, self.session_id, patch.id, text, self.hand, by_another=by_another))
        self._reload()

    def _on(self) -> None:
        """To the next line, which opens."""
        last = not self._rows().move("down")
        self.refresh_page()
        after = self._patch()
        if after is not None and not last:
            self._begin(after)

    def action_away(self) -> None:
        patch = self._patch()
        if patch is None:
            self.tell("x takes away the reading of a patch.")
        else:
            self.save(partial(typed.take_away, self.bench, self.session_id, patch.id, self.hand))

    def action_find(self) -> None:
        self.type_text("Patch", "", self._find)

    def _find(self, text: str) -> None:
        """To the next patch whose id, name or region holds the text."""
        wanted, start = text.strip().casefold(), self._rows().cursor + 1 - len(_FIELDS)
        places = [*range(max(0, start), len(self.listed)), *range(max(0, start))]
        for place in places:
            each = self.listed[place]
            if wanted in f"{each.id} {each.name} {each.region}".casefold():
                self._rows().put(place + len(_FIELDS))
                return
        self.tell("No patch goes by that.")

    def changed(self) -> None:
        self._reload()
        super().changed()

    def shows(self, action: Sequence[Entry]) -> bool:
        """Only what was said on top lists its readings: those of another condition are out of sight."""
        return typed.by_hand(self.bench, action, self.hand)

    def turned(self, step: Entered) -> None:
        """Stand on the patch whose readings changed."""
        before = [each.count for each in self.listed]
        self._reload()
        for row, (each, count) in enumerate(zip(self.listed, before, strict=True)):
            if each.count != count:
                self._rows().put(row + len(_FIELDS))
                self.said = f"{self.said.partition(':')[0]}: {each.name}, {_counted(each.count)}."
                return

    def remark_subject(self) -> tuple[str, str, int | None]:
        return "read", "Read", None

    def came_back(self) -> None:
        self.session = log.session(self.bench, self.session_id)
        self._reload()
        self.refresh_page()

    def as_text(self) -> str:
        rows = [self.print_title(), ""]
        rows += [f"{_NAMES.get(name, name)}: {getattr(self.hand, name) or 'not stated'}" for name in _FIELDS]
        for each in self.listed:
            if each.count:
                values = "\t".join(f"{value:.10g}" for value in each.values or ()) or "out of sight"
                rows.append(f"{each.id}\t{each.name}\t{each.region}\t{each.count}\t{values}")
        return "\n".join(rows) + "\n"

    # Small things -----------------------------------------------------------------------------------------

    def _rows(self) -> RowList:
        return self.list_here

    def _patch(self) -> TypedRow | None:
        place = self._rows().cursor - len(_FIELDS)
        return self.listed[place] if 0 <= place < len(self.listed) else None

    def _reload(self) -> None:
        self.listed = typed.listed(self.bench, self.session, self.hand)


def _counted(count: int) -> str:
    return "not read" if not count else f"read {count} times" if count > 1 else "read once"
