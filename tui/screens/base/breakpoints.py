"""The classes of the stylesheet that stand for a size, known before a screen is styled for the first time."""

from textual.geometry import Size
from textual.screen import Screen

ACROSS = [(0, "-small"), (80, "-narrow"), (120, "-wide"), (180, "-full")]
DOWN = [(0, "-short"), (24, "-low"), (32, "-high")]


def fit(screen: Screen[object], size: Size) -> None:
    """Give a new screen the classes of its first size, which would style all of it a second time."""
    screen.add_class(_reached(size.width, ACROSS), _reached(size.height, DOWN), update=False)


def _reached(extent: int, points: list[tuple[int, str]]) -> str:
    """
    >>> _reached(80, ACROSS), _reached(119, ACROSS), _reached(23, DOWN)
    ('-narrow', '-narrow', '-short')
    """
    return max(point for point in points if extent >= point[0])[1]
