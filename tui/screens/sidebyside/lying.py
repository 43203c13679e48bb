"""What lies there, as lines: letters large enough for a dim booth, and the key of each. Pure text."""

from collections.abc import Sequence
from typing import Final

from evaluation.plain_text import listed
from evaluation.rounds import ASKED, Round, Triangles
from tui.widgets.lines import Line, cell

_LARGE: Final = {
    "K": ("██  ██ ", "██ ██  ", "████   ", "██ ██  ", "██  ██ "),
    "M": ("██   ██", "███ ███", "██ █ ██", "██   ██", "██   ██"),
    "P": ("█████  ", "██  ██ ", "█████  ", "██     ", "██     "),
    "R": ("█████  ", "██  ██ ", "█████  ", "██ ██  ", "██  ██ "),
    "T": ("███████", "  ███  ", "  ███  ", "  ███  ", "  ███  "),
    "W": ("██   ██", "██   ██", "██ █ ██", "███ ███", "██   ██"),
    "X": ("██   ██", " ██ ██ ", "  ███  ", " ██ ██ ", "██   ██"),
}
_ROOM: Final = 15  # rows of a panel, from which on letters are large
_FARTHEST: Final = 30  # columns from one to the next


def pair(one: Round, title: str, width: int, height: int) -> list[Line]:
    """The two letters that are to be looked at, far apart as they lie, and what is asked."""
    place = one.next
    if place is None:
        return []
    return _asked(
        (ASKED[one.ask], title),
        _lying(one.pairs[place], ("1 left", "2 right"), width, height),
        "0 no difference",
        f"Pair {place + 1} of {len(one.pairs)}, {one.observer}, round {one.id}. ",
        height,
    )


def three(one: Round, title: str, width: int, height: int) -> list[Line]:
    """The three letters that lie there, before the best of them is named."""
    lying = one.three_at_once
    if lying is None:
        return []
    return _asked(
        (ASKED[one.ask], f"{title}: the best of the three first"),
        _lying(lying, ("1 left", "2 middle", "3 right"), width, height),
        "0 no difference",
        f"Three {(one.next or 0) // 3 + 1} of {len(one.shown)}, {one.observer}, round {one.id}. ",
        height,
    )


def triangle(one: Triangles, title: str, width: int, height: int) -> list[Line]:
    """Three sheets lie there, two of one print; nothing says which."""
    return _asked(
        ("Which is the odd one?", title),
        _lying(("", "", ""), ("1 left", "2 middle", "3 right"), width, height),
        "Name one in any case: guess where you see nothing.",
        f"Triangle {(one.next or 0) + 1} of {len(one.shown)}, {one.observer}. ",
        height,
    )


def rest(one: Round, title: str, following: tuple[Round, str] | None) -> list[Line]:
    """After the last answer of a round: what comes next, while that answer can still be taken back."""
    if following is None:
        ahead = ["Enter shows which letter was which print."]
    else:
        letters = listed(sorted(following[0].prints))
        ahead = [f"Next: {following[1]}.", f"Take the slips off, lay the slips {letters}; Enter goes on."]
    told = [f"{len(one.pairs)} of {len(one.pairs)} answered, {one.observer}, round {one.id}.", "", *ahead]
    lines: list[Line] = ["", ((f"  {title} is done.", "strong"),), *(f"  {row}".rstrip() for row in told), ""]
    return [*lines, (("  u takes the last answer back.", "quiet"),)]


def _asked(
    asked: tuple[str, str], lying: Sequence[Line], neither: str, where: str, height: int
) -> list[Line]:
    lines: list[Line] = [
        "",
        ((f"  {asked[0]}", "strong"), (f"   {asked[1]}", "")),
        "",
        *lying,
        "",
        ((f"  {neither}", "quiet"),),
        "",
        ((f"  {where}", ""), ("Look away for a moment before the next.", "quiet")),
    ]
    return lines[:height]


def _lying(marks: Sequence[str], keys: Sequence[str], width: int, height: int) -> list[Line]:
    """Side by side as they lie, far apart, with the key of each below; letters large where there is room."""
    column = max(10, min(_FARTHEST, width // len(marks)))
    named = [f"{mark}   {key}" if mark else key for mark, key in zip(marks, keys, strict=True)]
    below: Line = ((_row(named, column), ""),)
    if height < _ROOM or not all(mark in _LARGE for mark in marks):
        return [((_row(marks, column), "strong"),), below] if any(marks) else [below]
    glyphs = [_LARGE[mark] for mark in marks]
    large: list[Line] = [((_row([glyph[row] for glyph in glyphs], column), "strong"),) for row in range(5)]
    return [*large, "", below]


def _row(parts: Sequence[str], column: int) -> str:
    return "".join(cell(part.center(column), column) for part in parts).rstrip()
