"""Beside the list of Home: what comes next; from 120 columns on what is known; at 180 the sheet as well."""

from collections.abc import Sequence
from functools import partial

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.timer import Timer

from evaluation.archive.session_list import ListedSession
from evaluation.plain_text import lower_first
from evaluation.session import for_use
from evaluation.work.home import Next
from tui import theme
from tui.screens.home import lines
from tui.widgets.lines import Line, cell, wrapped
from tui.widgets.panel import Panel
from tui.widgets.ruler import HEADING, LENGTH, ruler
from tui.widgets.sheet_map import Greys, sheet_map

_NAMES = 32  # columns of a region's number and name
_TITLE_AT = 19  # columns before what was said of the print
_REST = 0.15  # seconds without another move until the sheet is drawn, which costs more than all the rest
_COMING = (
    6  # rows kept for what comes next: most sessions need no more, and then no frame moves with the cursor
)


class Beside(Horizontal):
    """Three panels about one session; the stylesheet says which of them a width has room for."""

    _drawn: tuple[object, ...] = ()  # what the sheet was drawn from
    _resting: Timer | None = None

    def compose(self) -> ComposeResult:
        with Vertical(id="told"):
            yield Panel("coming")
            yield Panel("known")
        yield Panel("sheet", "The sheet")

    def about(self, each: ListedSession, known: Next, verdict: str | None, *, plain_signs: bool) -> None:
        """Show a session; `verdict` is None where it may not be shown."""
        one = {panel.id: panel for panel in self.query(Panel)}
        greys = None if plain_signs else theme.tones(self.app.theme)
        one["coming"].called(lines.title(each, one["coming"].size.width - 4))
        one["coming"].show(lambda width, height: _filled(lines.coming(known, width)))
        use = for_use(known.session.condition.made_for or "general").capitalize()
        one["known"].called(f"{use}: {verdict}" if verdict else "The print")
        one["known"].show(lambda width, height: known_lines(known, verdict is not None, width, height))
        drawn = (known.sheet, known.region, greys)
        if drawn != self._drawn:
            draw = partial(one["sheet"].show, partial(sheet_lines, known, greys=greys))
            if self._resting is not None:
                self._resting.stop()
            if self._drawn:
                self._resting = self.set_timer(_REST, draw)
            else:
                draw()
            self._drawn = drawn


def _filled(rows: list[Line]) -> list[Line]:
    return [*rows, *[""] * (_COMING - len(rows))]


def known_lines(known: Next, weighed: bool, width: int, height: int) -> list[Line]:
    """The verdict's reasons and the regions on their rulers, where they may be shown; then the print."""
    told: list[Line] = []
    if known.looks_next:
        words = f"{known.looks_next} looks next: grades of others stay out of sight until then."
        told += [f" {row}" for row in wrapped(words, width - 2)]
    if weighed:
        told += [f" {row}" for row in wrapped(" ".join(known.reasons), width - 2)] if known.reasons else []
        told += [*([""] if told else []), *_regions(known, width)]
    told += [*([""] if told else []), *_printed(known, width)]
    return told[:height]


def _regions(known: Next, width: int) -> list[Line]:
    """Every region on its ruler; where that has no room, those in which eye and readings disagree."""
    if width < _NAMES + LENGTH + 1:
        apart = [lower_first(each.title) for each in known.found if each.agreement == "disagree"]
        said = f"≠ Eye and readings disagree: {', '.join(apart)}." if apart else ""
        return [((f" {row}", "strong"),) for row in wrapped(said, width - 2)] if said else []
    rows: list[Line] = [((f"{'':{_NAMES + 1}}{HEADING}", "quiet"),)]
    for each in known.found:
        disagree = each.agreement == "disagree"
        name = f"{'≠' if disagree else ' '}{each.number or '':>2} {lower_first(each.title)}"
        drawn = ruler(each.eye, each.instrument, disagree=disagree)
        rows.append(((f"{cell(name, _NAMES)} {drawn}", "strong" if disagree else ""),))
    return rows


def _printed(known: Next, width: int) -> list[Line]:
    """What Describe has of the print, as far as it was said."""
    from evaluation.work.describe import fields  # it reads documents: not on the way to the first frame

    rows: list[Line] = []
    for field in fields.FIELDS:
        said = fields.shown(known.session.condition, field.id)
        for place, row in enumerate(wrapped(said, width - _TITLE_AT - 1) if said else ()):
            rows.append(((f" {cell('' if place else field.title, _TITLE_AT - 1)}", "quiet"), (row, "")))
    return rows


def sheet_lines(known: Next, width: int, height: int, *, greys: Greys | None) -> Sequence[Line]:
    """The sheet, with the region framed that is looked at next."""
    return sheet_map(known.sheet, known.region, width - 2, height, greys=greys)
