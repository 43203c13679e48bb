"""A picture of a fault: a file, the region and fault it shows, a caption. The appendix shows it."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final

from textual.app import App, ComposeResult
from textual.widgets import ProgressBar

from evaluation.sheet.layout import SheetRegion
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.log import Entered
from evaluation.work.look import attach
from tui import keys
from tui.screens.base.choice_lines import VALUE_AT, choice_row
from tui.screens.base.paths import short
from tui.screens.base.slow import SlowPage, Tell
from tui.screens.tools.choose import PICTURE, ChooseFile
from tui.widgets import head
from tui.widgets.lines import Line, paragraphs
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

_ROWS: Final = ("picture", "region", "fault", "caption")
_WHOLE: Final = "none, the region as a whole"
_HELP: Final = {
    "picture": "JPEG, PNG, TIFF or WebP. Kept scaled and without its metadata; your file stays as it is.",
    "region": "The region of the sheet that it shows.",
    "fault": "Which fault it shows. A second picture of the same fault takes the place of the first.",
    "caption": "One line below it: where on the print, at which magnification, under which light.",
}


async def open_attach(app: App[Any], bench: Bench, session_id: int, region: str = "") -> None:
    """The page, and over it at once the choice of the picture."""
    page = Attach(bench, session_id, region)
    await app.push_screen(page)
    await page.choose()


class Attach(SlowPage):
    """Nothing is kept before t."""

    PAGE = "attach"
    BINDINGS = keys.bindings("attach")
    TEXT = (
        "A photograph or scan of a fault, kept with its region for the appendix. Enter changes a row, a "
        "digit chooses; t keeps it, u takes back what was kept here."
    )

    def __init__(self, bench: Bench, session_id: int, region: str = "") -> None:
        super().__init__(bench)
        self.session = log.session(bench, session_id)
        self.regions: tuple[SheetRegion, ...] = sheet_of(bench, self.session).regions
        named = [each for each in self.regions if each.id == region]
        self.about: SheetRegion = (named or list(self.regions))[0]
        self.fault = self._noted()
        self.caption = ""
        self.path: Path | None = None
        self.choosing = False
        self.kept: list[Entered] = []

    def _noted(self) -> str:
        """The fault of the region that was noted last, if any was."""
        viewing = self.session.viewing
        noted = [each.name for each in viewing.faults if each.region == self.about.id] if viewing else []
        return noted[-1] if noted and noted[-1] in self.about.faults else ""

    def body(self) -> ComposeResult:
        with Frame("list", "A picture of a fault"):
            yield RowList("choices", moved=self.moved, chosen=self.action_enter)
        yield ProgressBar(show_eta=False)
        yield Panel("about")

    def head_lines(self, width: int) -> Sequence[Line]:
        paper = self.session.condition.paper or "No paper named"
        return head.plain_head(f"{paper}, session {self.session.id}", "", width)

    def session_in_hand(self) -> int:
        return self.session.id

    def foot_state(self) -> str:
        if self.busy:
            return "tools.busy"
        return "attach.choice" if self.choosing else "attach"

    @property
    def row(self) -> str:
        return _ROWS[self.list_here.cursor]

    @property
    def choices(self) -> dict[str, str]:
        """What a digit chooses in the opened row. A region goes by its number on the sheet; 0 goes through
        those that no digit names.
        """
        if self.row == "region":
            named = {digit: region.title for digit, region in self._by_digit().items()}
            others = [region.title for region in self._others()]
            return named | ({"0": f"the next of: {', '.join(others)}"} if others else {})
        if self.row == "fault":
            return {str(place): name for place, name in enumerate((_WHOLE, *self.about.faults)[:10])}
        return {}

    def _by_digit(self) -> dict[str, SheetRegion]:
        return {str(each.number): each for each in self.regions if each.number in range(1, 10)}

    def _others(self) -> list[SheetRegion]:
        named = self._by_digit().values()
        return [each for each in self.regions if each not in named]

    def _value(self, name: str) -> str:
        match name:
            case "picture":
                return (
                    "Enter chooses one" if self.path is None else short(self.path, self.list_here.room - 20)
                )
            case "region":
                return self.about.title
            case "fault":
                return self.fault or _WHOLE
        return self.caption or "-"

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(_ROWS))
        self.show_bar()
        self.one("about").called(self.row.capitalize())
        self.one("about").show(self._about_lines)

    def _rows(self, start: int, count: int) -> list[Line]:
        room = self.list_here.room
        rows = [choice_row(name, self._value(name), (), opened=False, room=room) for name in _ROWS]
        return rows[start : start + count]

    def _about_lines(self, width: int, height: int) -> list[Line]:
        words = _HELP[self.row]
        if self.choosing:
            words = "   ".join(f"{digit} {name}" for digit, name in self.choices.items())
        return paragraphs([words], width)

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if way == "left" and self.choosing:
            self.back()
        else:
            self.list_here.move(way)

    def moved(self) -> None:
        self.choosing = False
        self.refresh_page()

    def back(self) -> None:
        if self.busy:
            self.stop()
        elif self.choosing:
            self.choosing = False
            self.refresh_page()
        else:
            self.app.pop_screen()

    async def action_enter(self) -> None:
        if self.row == "picture":
            await self.choose()
        elif self.row == "caption":
            self.type_text(
                "",
                self.caption,
                self._caption,
                at=partial(self.list_here.from_column, VALUE_AT),
                about="caption",
            )
        else:
            self.choosing = not self.choosing
            self.refresh_page()

    async def choose(self) -> None:
        """Look for the picture."""
        await self.app.push_screen(ChooseFile(self.bench, PICTURE, self._chosen))

    def _chosen(self, path: Path) -> None:
        self.path = path
        self.list_here.cursor = _ROWS.index("fault")
        self.tell("t keeps it; nothing is kept before.")
        self.refresh_page()

    def _caption(self, typed: str) -> None:
        self.caption = " ".join(typed.split())
        self.refresh_page()

    def action_digit(self, digit: str) -> None:
        choices = self.choices
        if not choices:
            self.tell("Enter opens the row; t keeps the picture.")
        elif digit not in choices:
            self.tell(f"{digit} stands for nothing here; Enter lists what a digit chooses.")
        elif self.row == "fault":
            self.fault = "" if digit == "0" else choices[digit]
            self._said()
        elif digit == "0":
            others = self._others()
            at = others.index(self.about) if self.about in others else -1
            self._region(others[(at + 1) % len(others)])
        else:
            self._region(self._by_digit()[digit])
            self._said()

    def _region(self, region: SheetRegion) -> None:
        self.about = region
        self.fault = self._noted()
        self.refresh_page()

    def _said(self) -> None:
        """A row is answered: to the next."""
        self.choosing = False
        self.list_here.move("down")
        self.refresh_page()

    def waiting(self) -> str:
        return f"{self.path.name} is not kept yet." if self.path is not None else ""

    # Keeping ----------------------------------------------------------------------------------------------

    def action_take(self) -> None:
        if self.path is None:
            self.tell("Enter on the first row chooses a picture.")
        elif not self.busy:
            work = partial(_kept, self.session.id, self.about.id, self.path, self.fault, self.caption)
            self.start_slow("picture", "Keeping the picture", work, "The picture was not kept: stopped.")

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.kept.append(value)
        self.path, self.caption = None, ""
        self.list_here.cursor = 0
        self.said = f"Saved. {value.words}. u takes it back."
        self.refresh_page()

    def action_undo(self) -> None:
        if not self.kept:
            self.tell("Nothing left to undo here; older pictures are taken back in Write up (g 6).")
            return
        action = self.kept[-1].entries[0].action

        def taken_back() -> None:
            step = log.undo(self.bench, self.session.id, lambda found: found[0].action == action)
            self.kept.pop()
            self.tell(f"Undone: {step.words}." if step else "It was taken back already.")

        self.attempt(taken_back)


def _kept(
    session_id: int, region: str, path: Path, fault: str, caption: str, bench: Bench, tell: Tell
) -> Entered:
    tell(0, 1, path.name)
    return attach.attach(bench, session_id, region, path, fault=fault, caption=caption)
