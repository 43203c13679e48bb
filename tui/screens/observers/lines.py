"""What Observers shows, as lines: the viewings, the grades with a column a person. Pure text."""

from collections.abc import Sequence
from typing import Final

from evaluation.plain_text import counted
from evaluation.session import Session, Viewing
from evaluation.telling import observers as words
from evaluation.work.weigh.observers import Observers
from tui.widgets.lines import Line, cell

_COLUMN: Final = 13  # of one person's grades
_TOGETHER: Final = 18
_KINDS: Final = {"full": "full", "quick": "short"}


def viewing(one: Viewing, session: Session, seen: int, width: int) -> Line:
    """A viewing: by whom, when, how many prints they have seen, and whether it counts."""
    role = session.role(one.observer)
    who = one.observer if one.observer == role else f"{role}, {one.observer}"
    fixed = f"viewing {one.ordinal}, {_KINDS[one.kind]}, {one.started.astimezone():%d %b %H:%M}, "
    fixed = cell(f"{fixed}{counted(seen, 'print')} seen", 45)
    state = f"set aside: {one.aside}" if one.aside else "counts"
    room = max(10, min(30, width - len(fixed) - 16))
    text = f"{cell(who, room)}  {fixed}  "
    return ((text, ""), (cell(state, max(0, width - len(text))), "strong" if one.aside else "quiet"))


def table(found: Observers, width: int) -> list[Line]:
    """A row a region, a column an observer, all of them together; below, who leans by how much."""
    rows = words.table(found)
    people = len(found.roles)
    last = len(rows.heads) - people - 1
    column = max(4, min(_COLUMN, (width - 24 - last * _TOGETHER) // people))
    title = max(12, min(34, width - people * column - last * _TOGETHER - 3))
    heads = [_head(head, column) for head in rows.heads[1 : 1 + people]]

    def line(parts: Sequence[str]) -> str:
        grades = "".join(cell(part, column, "right") for part in parts[1 : 1 + people])
        rest = "".join(f"  {cell(part, _TOGETHER - 2)}" for part in parts[1 + people :])
        return f"  {cell(parts[0], title)}{grades}{rest}"

    return [
        ((line(("region, by observer", *heads, *rows.heads[1 + people :])), "quiet"),),
        *(line(parts) for parts in rows.rows),
    ]


def _head(head: str, column: int) -> str:
    """ "observer 2" where there is room, else its number, in brackets for one set aside."""
    number = head.removeprefix("observer ")
    shorter = (head, number, f"({number.partition(' ')[0]})" if head.endswith("(aside)") else number)
    return next((one for one in shorter if len(one) < column), shorter[-1])
