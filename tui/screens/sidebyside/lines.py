"""What Side by side shows, as lines: the regions to choose from, what was answered. Pure text."""

from evaluation.plain_text import counted
from evaluation.rounds import ASKED, Named, Round
from evaluation.telling.side_by_side import load
from tui.widgets.lines import Line, cell


def region(title: str, shows: str, chosen: bool, room: int) -> Line:
    """A row of the list: marked or not, and what the region shows where there is room."""
    title_room = min(34, room - 6)
    beside = room - title_room - 8
    return (
        ("* " if chosen else "  ", "strong"),
        (cell(title, title_room), ""),
        (f"  {cell(shows, beside)}" if beside >= 24 else "", "quiet"),
    )


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
