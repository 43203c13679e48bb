"""A file chosen by looking through folders; a path may be typed as well."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from textual.app import ComposeResult

from evaluation.errors import DrydownError, UsageProblem
from evaluation.work import folders
from evaluation.work.bench import Bench
from evaluation.work.folders import FolderItem
from tui import keys
from tui.screens.base.page import Page
from tui.screens.base.paths import short, typed_path
from tui.widgets import head
from tui.widgets.lines import Line, cell
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList


@dataclass(frozen=True, slots=True)
class Kind:
    """What is looked for: its name in a sentence, the endings of its files, what it is kept by."""

    words: str
    endings: tuple[str, ...]
    habit: str


PICTURE: Final = Kind("a picture", (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp"), "pictures")
PROFILE: Final = Kind("an ICC profile", (".icc", ".icm"), "profiles")
APPENDIX: Final = Kind("an appendix", (".html", ".md", ".pdf"), "appendices")
BUNDLE: Final = Kind("a bundle", (".bundle",), "bundles")
SPECTRUM: Final = Kind("the spectrum of a light source", (".csv", ".txt", ".spdx", ".xml"), "spectra")


class ChooseFile(Page):
    """Folders, then the files of that kind, the newest first and under the cursor. `chosen` takes one."""

    PAGE = "choose"
    BINDINGS = keys.bindings("choose")
    TEXT = (
        "Enter opens a folder or takes a file; Left goes to the folder above. / narrows the list as you "
        "type, p takes a path. Only files of the kind that is wanted are listed."
    )

    def __init__(self, bench: Bench, kind: Kind, chosen: Callable[[Path], object]) -> None:
        super().__init__(bench)
        self.kind = kind
        self.chosen = chosen
        self.folder = folders.last(bench, kind.habit).absolute()
        self.match = ""
        self.found: tuple[FolderItem, ...] = ()

    def body(self) -> ComposeResult:
        with Frame("list"):
            yield Panel("heading", classes="flat")
            yield RowList("files", chosen=self.action_enter)

    def on_mount(self) -> None:
        self._to(self.folder)

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head(f"Choose {self.kind.words}", "", width)

    def _to(self, folder: Path, *, beside: Path | None = None) -> None:
        """List another folder; one that cannot be listed is told, and nothing changes."""
        try:
            found = folders.listed(folder, self.kind.endings)
        except DrydownError as problem:
            self.refused(problem)
            return
        self.folder, self.match, self.found = folder, "", found
        names = [each.path.name for each in found]
        newest = next((place for place, each in enumerate(found) if not each.folder), 0)
        self.list_here.cursor = names.index(beside.name) if beside and beside.name in names else newest
        self.refresh_page()

    @property
    def rows(self) -> tuple[FolderItem, ...]:
        """What is in sight of the folder."""
        match = self.match.casefold()
        return tuple(each for each in self.found if match in each.path.name.casefold())

    def repaint(self) -> None:
        rows = self.rows
        self.query_one("#list", Frame).called(short(self.folder, self.size.width - 12))
        self.one("heading").show(self._heading)
        self.list_here.show(
            lambda start, count: [self._row(each) for each in rows[start : start + count]], len(rows)
        )

    def _heading(self, width: int, height: int) -> Sequence[Line]:
        if self.rows:
            return [((f"   {cell('name', self._names(width))} {cell('changed', 15)}{'size':>10}", "quiet"),)]
        if self.match:
            return ["", "   No file or folder of that name. Esc shows all again."]
        endings = ", ".join(self.kind.endings)
        return ["", f"   No file of this kind here ({endings}). Left goes to the folder above."]

    def _row(self, each: FolderItem) -> Line:
        room = self._names(self.list_here.room)
        if each.folder:
            return f" {cell(each.path.name + '/', room)}"
        size = f"{each.size / 1000:,.0f} kB" if each.size >= 1000 else f"{each.size} bytes"
        when = f"{each.modified.astimezone():%d %b, %H:%M}"
        return f" {cell(each.path.name, room)} {cell(when, 15)}{size:>10}"

    def _names(self, width: int) -> int:
        return min(60, width - 34)

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if way == "left":
            self._to(self.folder.parent, beside=self.folder)
        elif way == "right":
            self.action_enter()
        else:
            self.list_here.move(way)

    def action_enter(self) -> None:
        row = self.list_here.cursor
        if row >= len(self.rows):
            return
        each = self.rows[row]
        if each.folder:
            self._to(each.path)
        else:
            self._take(each.path)

    def _take(self, path: Path) -> None:
        folders.remember(self.bench, self.kind.habit, path.parent)
        self.app.pop_screen()
        self.chosen(path)

    def action_find(self) -> None:
        self.type_text("Find", self.match, self._narrow, changed=self._narrow)

    def _narrow(self, typed: str) -> None:
        if typed.strip() != self.match:
            self.match = typed.strip()
            self.list_here.cursor = 0
            self.refresh_page()

    def action_path(self) -> None:
        self.type_text("File or folder", short(self.folder) + "/", self._typed, about="path")

    def _typed(self, typed: str) -> None:
        """Go to a folder, or take a file whatever its ending. Raises UsageProblem."""
        path = typed_path(typed)
        if path.is_dir():
            self._to(path.absolute())
        elif path.is_file():
            self._take(path.absolute())
        else:
            raise UsageProblem(
                "Nothing was chosen.", expected="a file or a folder", found="none of that name"
            )

    def back(self) -> None:
        if self.match:
            self._narrow("")
        else:
            self.app.pop_screen()
