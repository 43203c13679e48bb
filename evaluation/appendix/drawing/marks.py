"""Elements of a figure as SVG text: strokes, marks, words. Points are 1/72 inch, y runs down.

All is drawn in the ink of the page (`currentColor`), lighter by opacity: the same bytes do on white, on a
dark screen and in a PDF. The one colour marks what is flagged, and a bold sign doubles it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from typing import Final, Literal

from evaluation.appendix.drawing.letters import width

SIZE: Final = 7.5  # of names
SMALL: Final = 7.0  # of axes
FLAG: Final = "#9a3412"
SOFT: Final = 0.66  # of ink that stands back: 5.9 to 1 on white, and as much on the dark page
FAINT: Final = 0.2  # lines of a scale
XY = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class TextBox:
    """The room that a text takes."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "TextBox") -> bool:
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


@dataclass(frozen=True, slots=True)
class Label:
    """A text at a point of its baseline."""

    text: str
    x: float
    y: float
    anchor: Anchor = "start"
    size: float = SIZE
    soft: bool = False
    bold: bool = False
    italic: bool = False
    flag: bool = False

    def box(self, stretch: float = 1.0) -> TextBox:
        """`stretch`: by how much another face may be wider than the page's own."""
        wide = width(self.text, self.size) * stretch * (1.06 if self.bold else 1.0)
        left = self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return TextBox(left, self.y - 0.72 * self.size, left + wide, self.y + 0.24 * self.size)

    def svg(self) -> str:
        style = f' text-anchor="{self.anchor}"' if self.anchor != "start" else ""
        style += f' font-size="{self.size:g}"' if self.size != SIZE else ""
        style += ' font-weight="600"' if self.bold else ""
        style += ' font-style="italic"' if self.italic else ""
        style += f' class="flag" fill="{FLAG}"' if self.flag else ""
        style += f' fill-opacity="{SOFT}"' if self.soft else ""
        return f'<text x="{at(self.x)}" y="{at(self.y)}"{style}>{escape(self.text)}</text>'


def at(value: float) -> str:
    """A place to a hundredth of a point, as short as it can be written."""
    return f"{round(value, 2) + 0.0:g}"


def rule(x1: float, y1: float, x2: float, y2: float, wide: float = 0.5, strength: float = 1.0) -> str:
    faint = f' stroke-opacity="{strength:g}"' if strength < 1 else ""
    return (
        f'<line x1="{at(x1)}" y1="{at(y1)}" x2="{at(x2)}" y2="{at(y2)}" stroke="currentColor" '
        f'stroke-width="{wide:g}"{faint}/>'
    )


def path(points: Sequence[XY], wide: float, dash: str = "", strength: float = 1.0) -> str:
    """One line through all points."""
    way = " ".join(f"{at(x)} {at(y)}" for x, y in points)
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    faint = f' stroke-opacity="{strength:g}"' if strength < 1 else ""
    return (
        f'<polyline points="{way}" fill="none" stroke="currentColor" stroke-width="{wide:g}" '
        f'stroke-linejoin="round"{dashes}{faint}/>'
    )


def dot(x: float, y: float, size: float = 2.2, strength: float = 1.0) -> str:
    faint = f' fill-opacity="{strength:g}"' if strength < 1 else ""
    return f'<circle cx="{at(x)}" cy="{at(y)}" r="{size:g}" fill="currentColor"{faint}/>'


def ring(x: float, y: float, size: float = 2.0, strength: float = 1.0) -> str:
    faint = f' stroke-opacity="{strength:g}"' if strength < 1 else ""
    return (
        f'<circle class="ground" cx="{at(x)}" cy="{at(y)}" r="{size:g}" fill="#ffffff" stroke="currentColor" '
        f'stroke-width="0.9"{faint}/>'
    )


def square(x: float, y: float, size: float = 4.4, strength: float = 1.0) -> str:
    faint = f' stroke-opacity="{strength:g}"' if strength < 1 else ""
    return (
        f'<rect class="ground" x="{at(x - size / 2)}" y="{at(y - size / 2)}" width="{size:g}" '
        f'height="{size:g}" fill="#ffffff" stroke="currentColor" stroke-width="0.9"{faint}/>'
    )


def band(x: float, y: float, wide: float, high: float) -> str:
    return (
        f'<rect x="{at(x)}" y="{at(y)}" width="{at(wide)}" height="{at(high)}" fill="currentColor" '
        'fill-opacity="0.09"/>'
    )


def hoop(x: float, y: float, size: float) -> str:
    """A circle of a scale."""
    return (
        f'<circle cx="{at(x)}" cy="{at(y)}" r="{at(size)}" fill="none" stroke="currentColor" '
        f'stroke-width="0.4" stroke-opacity="{FAINT}"/>'
    )


@dataclass(frozen=True, slots=True)
class Drawing:
    """A figure as drawn: its strokes, and its words, which may not meet."""

    wide: float
    high: float
    strokes: tuple[str, ...]
    words: tuple[Label, ...]

    def svg(self) -> str:
        return "\n".join(
            (
                f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {at(self.wide)} {at(self.high)}" '
                f'width="{at(self.wide)}pt" height="{at(self.high)}pt" font-family="Libertinus Serif, '
                f'Charter, Georgia, serif" font-size="{SIZE:g}" fill="currentColor">',
                *self.strokes,
                *(each.svg() for each in self.words),
                "</svg>",
            )
        )


def overlaps(drawing: Drawing, stretch: float = 1.0) -> int:
    """How many words meet another or leave the figure."""
    boxes = [each.box(stretch) for each in drawing.words]
    met = sum(one.meets(other) for k, one in enumerate(boxes) for other in boxes[k + 1 :])
    return met + sum(_leaves(box, drawing) for box in boxes)


def _leaves(box: TextBox, drawing: Drawing) -> bool:
    inside = box.left >= -0.5 and box.top >= -0.5
    return not (inside and box.right <= drawing.wide + 0.5 and box.bottom <= drawing.high + 0.5)


def drawing(wide: float, high: float, strokes: Iterable[str], words: Iterable[Label]) -> Drawing:
    return Drawing(wide, high, tuple(strokes), tuple(words))
