"""Bundle: sessions in a file of their own, for somebody else's archive."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final

from textual.app import ComposeResult
from textual.widgets import ProgressBar

from evaluation.archive.bundles.nouns import Bundled
from evaluation.errors import Cancelled, DrydownError
from evaluation.plain_text import listed
from evaluation.work.bench import Bench
from evaluation.work.bundle import bundle
from tui import keys
from tui.screens.base.choice_lines import VALUE_AT, choice_row
from tui.screens.base.paths import documents, short
from tui.screens.base.slow import SOON, SlowPage
from tui.screens.merge import lines, work
from tui.widgets import head
from tui.widgets.lines import Line, paragraphs
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList

# Row, its choices (the first one as it begins), what it is about.
_ROWS: Final = (
    (
        "file",
        (),
        "The bundle: one file, to be copied or sent. It is merged with `drydown merge`, or looked at.",
    ),
    (
        "photographs",
        ("included", "left out"),
        "Photographs of faults make a bundle large. Left out, they can follow in another bundle.",
    ),
    (
        "observers",
        ("by name", "by role"),
        "By role nobody is named: “observer 1” in place of a name, also in remarks; no appendices, no files "
        "of readings. Such a bundle can be looked at, not merged.",
    ),
)


class BundlePage(SlowPage):
    """Of the sessions that are marked on Home, or of the one in hand."""

    PAGE = "bundle"
    BINDINGS = keys.bindings("bundle")
    TEXT = (
        "The sessions marked on Home, or the one in hand, in one file that somebody else can merge into "
        "their archive. Enter changes a row; o writes the file. Nothing here is changed by it."
    )

    def __init__(self, bench: Bench, session_ids: Sequence[int]) -> None:
        super().__init__(bench)
        self.ids = tuple(session_ids)
        self.also = bundle.also(bench, self.ids)
        self.path = _free(
            documents() / f"{bench.archive.path.stem}-{bench.now().astimezone():%Y-%m-%d}.bundle"
        )
        self.chosen = {name: choices[0] for name, choices, _ in _ROWS if choices}
        self.made: Bundled | None = None
        self.problem: DrydownError | None = None

    def body(self) -> ComposeResult:
        with Frame("list", "Bundle"):
            yield RowList("choices", moved=self.moved, chosen=self.action_enter)
        yield ProgressBar(show_eta=False)
        yield Panel("about")

    def head_lines(self, width: int) -> Sequence[Line]:
        return head.plain_head(f"Bundle of {_named(self.ids)}", "", width)

    def session_in_hand(self) -> int:
        return self.ids[0]

    def foot_state(self) -> str:
        return "bundle.busy" if self.busy else "bundle"

    # Drawing ----------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        self.list_here.show(self._rows, len(_ROWS))
        self.show_bar()
        name, _, about = _ROWS[self.list_here.cursor]
        if self.problem is not None:
            name = "Not done"
        self.one("about").called("Written" if self.made else name[:1].upper() + name[1:])
        self.one("about").show(partial(self._about, about))

    def _rows(self, start: int, count: int) -> list[Line]:
        room = self.list_here.room
        values = {"file": short(self.path, room - VALUE_AT - 2), **self.chosen}
        return [
            choice_row(name, values[name], choices, opened=False, room=room)
            for name, choices, _ in _ROWS[start : start + count]
        ]

    def _about(self, about: str, width: int, height: int) -> list[Line]:
        if self.problem is not None:
            return lines.refused(self.problem, width)
        told = [about]
        if self.made is not None:
            told = [
                f"{short(self.path)}, {self.made.size / 1e6:.1f} MB.",
                "Send it, or copy it to the other computer.",
            ]
            told.append("There: g m in the app, or `drydown merge`.")
        if self.also:
            told.append(f"With {_named(self.also)}, which they refer to.")
        return paragraphs(told, width)

    def as_text(self) -> str:
        told = [f"{name}: {self.chosen.get(name, str(self.path))}" for name, _, _ in _ROWS]
        return "\n".join([f"Bundle of {_named(self.ids)}", *told]) + "\n"

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        self.list_here.move(way)

    def moved(self) -> None:
        self._anew()
        self.refresh_page()

    def _anew(self) -> None:
        self.made = self.problem = None

    def back(self) -> None:
        if self.busy:
            self.stop()
        else:
            self.app.pop_screen()

    def action_enter(self) -> None:
        """Type where to; or the other choice."""
        name, choices, _ = _ROWS[self.list_here.cursor]
        if self.busy:
            self.tell("Being written. Esc stops.")
        elif not choices:
            at = partial(self.list_here.from_column, VALUE_AT)
            self.type_text("", short(self.path), self._typed, at=at, anew=True, about="bundle")
        else:
            self._anew()
            self.chosen[name] = choices[(choices.index(self.chosen[name]) + 1) % len(choices)]
            self.refresh_page()

    def _typed(self, text: str) -> None:
        if text.strip():
            path = Path(text.strip()).expanduser()
            path = path / self.path.name if path.is_dir() else path
            self.path = path if path.suffix else path.with_suffix(".bundle")
        self._anew()
        self.refresh_page()

    def action_out(self) -> None:
        """Write the file; never over another."""
        if self.busy:
            self.tell("Being written. Esc stops.")
            return
        self._anew()
        names, pictures = self.chosen["observers"] == "by name", self.chosen["photographs"] == "included"
        made = partial(work.made, self.ids, self.path, names, pictures)
        self.start_slow("bundle", "Writing", made, "No bundle was made: stopped.", after=SOON)

    def done(self, job: str, value: Any) -> None:
        super().done(job, value)
        self.made = value
        self.said = f"Written: {short(self.path, self.size.width - 13)}."
        self.refresh_page()

    def failed(self, job: str, problem: DrydownError) -> None:
        """A refusal stands on the page."""
        if isinstance(problem, Cancelled):
            super().failed(job, problem)
            return
        self.ended()
        self.problem, self.said = problem, ""
        self.refresh_page()


def _named(ids: Sequence[int]) -> str:
    return f"session{'' if len(ids) == 1 else 's'} {listed([str(one) for one in ids])}"


def _free(path: Path) -> Path:
    """The name, or the first one with a number behind it that nothing has."""
    found, number = path, 1
    while found.exists():
        number += 1
        found = path.with_stem(f"{path.stem}-{number}")
    return found
