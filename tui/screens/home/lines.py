"""What Home shows, as lines: the rows of the list, an empty list, and what comes next below. Pure text."""

from datetime import datetime
from typing import Final

from rich.cells import cell_len

from evaluation.archive.session_list import ListedSession
from evaluation.work.home import Next
from tui.widgets.lines import Line, cell, wrapped

_TEXT_AT: Final = 12
_HEADS: Final = ("paper", "printed", "state", "verdict")
_BARE: Final = (
    "No session is on the list; {} removed.",
    "",
    "v shows what was removed, and Enter brings it back; n begins a new one.",
)
_NONE: Final = (
    "No session yet.",
    "",
    "A session scores one print of a reference test image, region by region: by eye, then with readings.",
    "You need a print of such an image and the light you judge prints in; readings may come later, or never.",
    "Enter begins the first session. t draws the test image for your paper. g m takes in sessions that "
    "somebody sent you. `drydown demo` opens an archive with six sessions to look around in.",
)


def nothing(removed: int, width: int) -> list[Line]:
    """An empty list, and whether there is something that could be on it again."""
    told = "1 was" if removed == 1 else f"{removed} were"
    lines: list[Line] = [""]
    for place, line in enumerate(line.format(told) for line in (_BARE if removed else _NONE)):
        lines += [((f"   {row}", "" if place else "strong"),) for row in wrapped(line, width - 6)]
    return lines


def heading(width: int, of_removed: bool) -> Line:
    """Names of the columns."""
    heads = (*_HEADS[:2], "removed", _HEADS[3]) if of_removed else _HEADS
    names = "".join(cell(name, room) for name, room in zip(heads, _columns(width), strict=True))
    return ((" " * 10 + names, "quiet"),)


def row(each: ListedSession, state: str, verdict: str | None, marked: bool, width: int) -> Line:
    """One session, after the gutter's two; a removed one has the day of that in place of its state."""
    sign = "≠" if verdict and each.disagree else " "
    columns = _columns(width)
    shown = (
        each.summary.paper or "-",
        each.summary.printed,
        state if each.removed is None else _day(each.removed),
        _short(verdict, columns[3]) if verdict else "-",
    )
    cells = "".join(cell(text, room - 1) + " " for text, room in zip(shown, columns, strict=True))
    return f"{'*' if marked else ' '}{sign}{each.id:>5} {cells}"


def _columns(width: int) -> tuple[int, int, int, int]:
    """Widths of the four columns right of the number."""
    room = width - 11
    state, verdict = 12, 13 if width < 100 else 22
    paper = (room - state - verdict) * 58 // 100
    return paper, room - state - verdict - paper, state, verdict


def _day(at: datetime) -> str:
    return f"{at.astimezone():%d %b %Y}"


def _short(verdict: str, room: int) -> str:
    return "with remarks" if verdict == "accepted with remarks" and room < 22 else verdict


def title(each: ListedSession, room: int) -> str:
    """What the lower half is about; where the paper does not stand whole, the list has it."""
    whole = ", ".join(part for part in (f"Session {each.id}", each.summary.paper) if part)
    return whole if cell_len(whole) <= room else f"Session {each.id}"


def coming(known: Next, width: int) -> list[Line]:
    """What comes next, what to look at again, what is open, where the readings are."""
    step = known.step
    if step is None:
        words = "nothing; written up, and Enter shows what was found"
    elif step.step == "Write up":
        words = f"Write up: {step.words}"
    else:
        words = f"{step.step}, {step.words}"
    pairs = [("next", words)]
    if known.again:
        pairs.append(("again", ", ".join(known.again) + ", marked for a second look"))
    if known.open:
        pairs.append(("open", "; ".join(known.open)))
    pairs.append(("readings", known.readings))
    lines: list[Line] = []
    for name, text in pairs:
        for place, row in enumerate(wrapped(text, width - _TEXT_AT - 1)):
            lines.append(((f" {cell('' if place else name, _TEXT_AT - 1)}", "quiet"), (row, "")))
    return lines
