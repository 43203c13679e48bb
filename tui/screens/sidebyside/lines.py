"""What Side by side shows, as lines: the regions to choose from, two letters to look at. Pure text."""

from collections.abc import Sequence

from evaluation.plain_text import counted
from evaluation.rounds import ASKED, Named, Round, Triangles
from evaluation.telling.beside import load
from tui.widgets.lines import Line, cell, wrapped

SAID: dict[Named, str] = {"left": "left", "right": "right", "none": "no difference"}


def region(title: str, shows: str, chosen: bool, room: int) -> Line:
    """A row of the list: marked or not, and what the region shows where there is room."""
    title_room = min(34, room - 6)
    beside = room - title_room - 8
    return (
        ("* " if chosen else "  ", "strong"),
        (cell(title, title_room), ""),
        (f"  {cell(shows, beside)}" if beside >= 24 else "", "quiet"),
    )


def pair(one: Round, title: str, width: int, height: int) -> list[Line]:
    """The two letters that are to be looked at, far apart as they lie, and what is asked."""
    place = one.next
    if place is None:
        return []
    left, right = one.pairs[place]
    half = max(8, min(30, width // 2))
    lines: list[Line] = [
        "",
        ((f"  {ASKED[one.ask]}", "strong"), (f"   {title}", "")),
        "",
        ((cell("", half // 2 - 1), ""), (left, "strong"), (cell("", half - 1), ""), (right, "strong")),
        ((cell("", half // 2 - 4), ""), ("1 left", "quiet"), (cell("", half - 6), ""), ("2 right", "quiet")),
        "",
        (("  0 no difference", "quiet"),),
        "",
        (
            (f"  Pair {place + 1} of {len(one.pairs)}, {one.observer}, round {one.id}. ", ""),
            ("Look away for a moment before the next.", "quiet"),
        ),
    ]
    return lines[:height]


def three(one: Round, title: str, width: int, height: int) -> list[Line]:
    """The three letters that lie there, before the best of them is named."""
    lying = one.three_at_once
    if lying is None:
        return []
    place = one.next or 0
    lines: list[Line] = [
        "",
        ((f"  {ASKED[one.ask]}", "strong"), (f"   {title}: the best of the three first", "")),
        "",
        *_three_wide(lying, width),
        "",
        (("  0 no difference", "quiet"),),
        "",
        (
            (f"  Three {place // 3 + 1} of {len(one.shown)}, {one.observer}, round {one.id}. ", ""),
            ("Look away for a moment before the next.", "quiet"),
        ),
    ]
    return lines[:height]


def triangle(one: Triangles, title: str, width: int, height: int) -> list[Line]:
    """Three sheets lie there, two of one print; nothing says which."""
    lines: list[Line] = [
        "",
        (("  Which is the odd one?", "strong"), (f"   {title}", "")),
        "",
        *_three_wide(("o", "o", "o"), width),
        "",
        (("  Name one in any case: guess where you see nothing.", "quiet"),),
        "",
        (
            (f"  Triangle {(one.next or 0) + 1} of {len(one.shown)}, {one.observer}. ", ""),
            ("Look away while the sheets are changed.", "quiet"),
        ),
    ]
    return lines[:height]


def _three_wide(marks: Sequence[str], width: int) -> list[Line]:
    """Left, middle and right, far apart as they lie, with the key of each below."""
    third = max(8, min(24, width // 3))
    keys = ("1 left", "2 middle", "3 right")
    apart = "".join(cell(f"{'':{third // 2}}{mark}", third) for mark in marks)
    below = "".join(cell(f"{'':{max(0, third // 2 - 3)}}{key}", third) for key in keys)
    return [((apart, "strong"),), ((below, "quiet"),)]


def paragraphs(texts: Sequence[str], width: int) -> list[Line]:
    """Sentences, one below the other."""
    return [f"  {row}" for text in texts for row in wrapped(text, width - 4)]


def asked(title: str, ask: str, observers: int) -> str:
    """Over a ruler: where, what was asked, of how many."""
    return f"{title}: {ASKED[ask].rstrip('?').lower()}, {counted(observers, 'observer')}"


def ended(one: Round) -> str:
    """After the last answer: which letter was which print."""
    found = ", ".join(f"{letter} session {session}" for letter, session in sorted(one.prints.items()))
    return f"That was the last pair. {found}."


def answered(left: str, right: str, named: Named) -> str:
    """The last answer, above the keys."""
    told = {"left": left, "right": right, "none": "no difference"}[named]
    return f"{left} and {right}: {told}. Saved."


def chosen(prints: int, regions: int, times: int, ask: str, at_once: int) -> str:
    """What rounds would be, in the title of the list."""
    many, minutes = load(prints, regions, times, at_once)
    told = f"{counted(regions, 'region')}, {times} of a pair{', by threes' * (at_once == 3)}"
    return f"{told}: {counted(many, 'judgement')}, {minutes} min; which is {ask}?"
