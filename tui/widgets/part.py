"""Parts of a page: its rows from top to bottom. They are no widgets; the page draws them all by itself.

Each widget more would bring styles, a layout and messages of its own: a page of five opened more than twice
as slowly as an empty one.
"""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import Protocol

from tui.widgets.lines import Line


class Canvas(Protocol):
    """What a part needs of the page that draws it."""

    def paint(self, part: "Part") -> None:
        """Draw the rows of a part again that look different now."""
        ...

    def lay_out(self) -> None:
        """Find each part its place again: one wants another height, or comes or goes."""
        ...


class Part(ABC):
    """Some rows over the whole width of a page. `height` None takes what the others leave."""

    def __init__(self, id: str, height: int | None = None) -> None:
        self.id = id
        self.canvas: Canvas | None = None
        self.top = self.tall = self.width = 0  # where the page put it, in cells
        self._height = height
        self._shown = True

    @property
    def height(self) -> int | None:
        return self._height

    @height.setter
    def height(self, rows: int | None) -> None:
        if rows != self._height:
            self._height = rows
            self._arrange()

    @property
    def shown(self) -> bool:
        return self._shown

    @shown.setter
    def shown(self, shown: bool) -> None:
        if shown != self._shown:
            self._shown = shown
            self._arrange()

    def _arrange(self) -> None:
        if self.canvas is not None:
            self.canvas.lay_out()

    def put_at(self, top: int, tall: int, width: int) -> None:
        """The page says where the part lies."""
        self.top, self.tall, self.width = top, tall, width

    @abstractmethod
    def line(self, y: int) -> Line:
        """Its row `y`, from 0, as it stands now."""

    def paint(self) -> None:
        """Draw again what looks different now."""
        if self.canvas is not None:
            self.canvas.paint(self)

    def clicked(self, x: int, y: int) -> None:  # noqa: B027  a part need not care
        """A click in the part."""

    def wheeled(self, rows: int) -> None:  # noqa: B027
        """The wheel was turned over the part."""


class Lines(Part):
    """A block of lines, drawn as they stand: no wrapping, no scrolling, no markup."""

    def __init__(self, id: str, height: int | None = None) -> None:
        super().__init__(id, height)
        self.rows: tuple[Line, ...] = ()

    def show(self, lines: Sequence[Line]) -> None:
        """Put these lines in place of the ones before."""
        self.rows = tuple(lines)
        self.paint()

    def line(self, y: int) -> Line:
        return self.rows[y] if y < len(self.rows) else ""


def places(parts: Sequence[Part], rows: int) -> list[tuple[Part, int, int]]:
    """Each part in sight with its top and its rows; those without a height share what is left."""
    seen = [part for part in parts if part.shown]
    flexible = sum(part.height is None for part in seen)
    left = max(0, rows - sum(part.height or 0 for part in seen))
    found: list[tuple[Part, int, int]] = []
    top = 0
    for part in seen:
        if part.height is None:
            tall = left // flexible
            left, flexible = left - tall, flexible - 1
        else:
            tall = part.height
        tall = max(0, min(tall, rows - top))
        found.append((part, top, tall))
        top += tall
    return found
