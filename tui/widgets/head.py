"""The lines above a screen: what lies on the table, the six steps and their states, a rule."""

from collections.abc import Mapping

from rich.cells import cell_len

from tui.keys import STEPS
from tui.widgets.lines import Line, Span, cell


def title(left: str, right: str, width: int) -> Line:
    """Left and right text on one line; the left one gives way."""
    room = width - 2
    right = cell(right, min(cell_len(right), room // 2)) if right else ""
    gap = 2 if right else 0
    return " " + cell(left, room - cell_len(right) - gap) + " " * gap + right


def plain_head(left: str, right: str, width: int) -> list[Line]:
    """Home, help, lists: a title. The frame below it draws the rule."""
    return [title(left, right, width)]


def stepper(left: str, right: str, states: Mapping[str, str], current: str, width: int) -> list[Line]:
    """Title, names and states of the six steps, and a rule that is heavy under the current one."""
    column = (width - 2) // len(STEPS)
    names: list[Span] = [(" ", "")]
    words: list[Span] = [(" ", "")]
    rule: list[Span] = []
    drawn = 0
    for index, (step, name) in enumerate(STEPS.items()):
        here = step == current
        label, state = f"{index + 1} {name}", states.get(step, "")
        names.append((cell(label, column), "strong" if here else ""))
        words.append((cell(state, column - 1) + " ", "strong" if here else "quiet"))
        if here:
            start = 1 + index * column
            length = max(cell_len(label), min(cell_len(state), column - 1))
            rule = [("─" * start, "rule"), ("━" * length, "strong")]
            drawn = start + length
    rule.append(("─" * (width - drawn), "rule"))
    return [title(left, right, width), tuple(names), tuple(words), tuple(rule)]
