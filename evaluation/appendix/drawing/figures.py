"""A figure as one SVG: the same bytes in a page of HTML, in a PDF, beside Markdown and as a file."""

from functools import lru_cache
from typing import Any, Final

from evaluation.appendix.drawing.curves import curves
from evaluation.appendix.drawing.jnd import jnd
from evaluation.appendix.drawing.marks import Drawing
from evaluation.appendix.drawing.multiples import multiples
from evaluation.appendix.drawing.plane import plane
from evaluation.appendix.drawing.ruler import cells, ruler
from evaluation.appendix.drawing.spark import spark
from evaluation.errors import DrydownError
from evaluation.telling.figure import Figure

WIDE: Final = {
    "spark": 74.0,
    "S": 151.0,
    "M": 228.0,
    "L": 482.0,
}  # points: a cell, one column of three, half, the full measure
PHONE: Final = 238.0  # a figure of the full measure is drawn a second time for a phone
_PIXELS: Final = 300  # an inch, of a PNG


def drawn(figure: Figure, wide: float | None = None) -> Drawing:
    """The figure at its own width, or at another in points."""
    at = WIDE[size(figure)] if wide is None else wide
    if figure.size == "spark":
        return spark(figure, at)
    if figure.panels:
        return cells(figure, at) if figure.row_names else multiples(figure, at)
    if figure.row_names:
        return jnd(figure, at) if figure.zero else ruler(figure, at)
    return plane(figure, at) if figure.square else curves(figure, at)


def size(figure: Figure) -> str:
    """A ruler takes the full measure, all else what the figure asks for."""
    return "L" if figure.row_names else figure.size


@lru_cache(maxsize=256)  # a page, its PDF and its files draw the same figures
def svg(figure: Figure, wide: float | None = None) -> str:
    """The figure as SVG, without XML head; the same figure gives the same text."""
    return drawn(figure, wide).svg()


def png(figure: Figure) -> bytes:
    """The figure as PNG on white, 300 pixels an inch, set in the face of the page.

    Raises DrydownError where the PDF compiler, which sets it, is missing.
    """
    try:
        import typst  # 30 MB of machine code
    except ImportError:
        raise DrydownError(
            "No picture was made.",
            where=f"{figure.id}.png",
            expected="typst, which sets the text of pictures",
            found="none for this kind of computer",
            remedy="Take the SVG that is written beside.",
        ) from None
    source = (
        "#set page(width: auto, height: auto, margin: 4pt, fill: white)\n"
        '#image(bytes(sys.inputs.picture), format: "svg")'
    )
    compile_: Any = typst.compile  # its stub binds a type variable that nothing here settles
    made = compile_(
        source.encode(),
        format="png",
        ppi=_PIXELS,
        sys_inputs={"picture": svg(figure)},
        ignore_system_fonts=True,
    )
    return bytes(made)
