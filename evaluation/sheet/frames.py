"""Rectangles in millimetres, divided into rows and columns: how a page is laid out."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle on the page, millimetres from its upper left corner."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.left + self.width

    @property
    def bottom(self) -> float:
        return self.top + self.height

    def rows(self, *weights: float, gap: float = 0.0) -> tuple["Frame", ...]:
        """Rows from top to bottom with heights in proportion to the weights and gaps of `gap` mm."""
        free = self.height - gap * (len(weights) - 1)
        frames, top = [], self.top
        for weight in weights:
            height = free * weight / sum(weights)
            frames.append(Frame(self.left, top, self.width, height))
            top += height + gap
        return tuple(frames)

    def columns(self, *weights: float, gap: float = 0.0) -> tuple["Frame", ...]:
        """Columns from left to right with widths in proportion to the weights and gaps of `gap` mm."""
        free = self.width - gap * (len(weights) - 1)
        frames, left = [], self.left
        for weight in weights:
            width = free * weight / sum(weights)
            frames.append(Frame(left, self.top, width, self.height))
            left += width + gap
        return tuple(frames)

    def grid(self, across: int, down: int, gap: float = 0.0) -> tuple["Frame", ...]:
        """Equal cells, `across` by `down`, row by row."""
        return tuple(
            cell
            for row in self.rows(*[1.0] * down, gap=gap)
            for cell in row.columns(*[1.0] * across, gap=gap)
        )

    def split_top(self, height: float, gap: float = 0.0) -> tuple["Frame", "Frame"]:
        """The upper part of a height, and what is left below a gap."""
        used = height + gap
        return (
            Frame(self.left, self.top, self.width, height),
            Frame(self.left, self.top + used, self.width, max(0.0, self.height - used)),
        )

    def split_bottom(self, height: float, gap: float = 0.0) -> tuple["Frame", "Frame"]:
        """What is left above a gap, and the lower part of a height."""
        upper, lower = self.split_top(self.height - height - gap, gap)
        return upper, lower

    def split_left(self, width: float, gap: float = 0.0) -> tuple["Frame", "Frame"]:
        """The left part of a width, and what is left beside a gap."""
        used = width + gap
        return (
            Frame(self.left, self.top, width, self.height),
            Frame(self.left + used, self.top, max(0.0, self.width - used), self.height),
        )

    def middle(self, width: float, height: float) -> "Frame":
        """A rectangle of a size in the middle of this one."""
        return Frame(
            self.left + (self.width - width) / 2, self.top + (self.height - height) / 2, width, height
        )

    def inset(self, by: float) -> "Frame":
        """The rectangle, smaller by `by` mm on every side."""
        return Frame(self.left + by, self.top + by, self.width - 2 * by, self.height - 2 * by)
