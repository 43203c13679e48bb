"""The plan as lines: a row for each paper in each setting, what comes next, what can still be done."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from rich.cells import cell_len

from evaluation.loan import ReaderQuestion
from evaluation.planning.plan import Job, Plan
from evaluation.telling import loan as loan_words
from evaluation.telling import plan as words
from evaluation.telling import plan_rows
from tui.widgets.lines import Line, Weight, cell, paragraphs, wrapped

_SETTING, _NEXT, _WHEN, _LATEST = 10, 13, 13, 10
_NOTE = 25  # columns kept beside a value for its note


def heading(room: int) -> Line:
    """The heads of the list."""
    return (("  " + _row("paper", "setting", "next", "when", "latest", room), "quiet"),)


def job(plan: Plan, one: Job, room: int) -> Line:
    """A row of the list; what can be done now is strong, what is over steps back."""
    when = plan_rows.when(plan, one, words.brief)
    latest = "" if one.latest is None else words.brief(one.latest, plan.now)
    step = words.SHORT_STEP[one.step] if one.step else ""
    weight: Weight = "strong" if one.state == "now" else "quiet" if one.step is None else ""
    return ((_row(one.paper.name, one.setting, step, when, latest, room), weight),)


def _row(paper: str, setting: str, step: str, when: str, latest: str, room: int) -> str:
    wide = room - _SETTING - _NEXT - _WHEN - _LATEST - 5
    cells = ((paper, wide), (setting, _SETTING), (step, _NEXT), (when, _WHEN), (latest, _LATEST))
    return " " + " ".join(cell(text, width) for text, width in cells)


def first(sentences: Sequence[str], width: int) -> list[Line]:
    """What comes next: the step strong, why and what to print below it."""
    lines: list[Line] = []
    strong = next((place for place, each in enumerate(sentences) if not each.startswith("Nothing")), 0)
    for place, sentence in enumerate(sentences):
        rows = wrapped(sentence, width - 4)
        lines += [((f"  {row}", "strong"),) if place == strong else f"  {row}" for row in rows]
    return lines


def question(one: ReaderQuestion, room: int) -> Line:
    """A row of the list of questions."""
    state = "answered" if one.answered is not None else "open"
    about = loan_words.about_words(one.who, one.paper, one.region)
    beside = min(max(30, cell_len(about)), room // 3) if about else 0
    text = f"{one.number:>3}  {cell(state, 9)}{cell(one.text, room - 16 - beside)}"
    return (
        (text, "quiet" if one.answered is not None else ""),
        (f" {cell(about, beside)}" if about else "", "quiet"),
    )


def asked(one: ReaderQuestion, now: datetime, width: int) -> list[Line]:
    """A question whole, with its answer."""
    local = one.asked.astimezone().replace(tzinfo=None)
    about = loan_words.about_words(one.who, one.paper, one.region)
    said = [one.text, f"Asked {words.clock(local, now)}" + (f" by {about}." if about else ".")]
    if one.answered is not None:
        said.append(loan_words.answer(one.answer, one.appendix).strip())
    return paragraphs(said, width)


def field_widths(rows: Iterable[tuple[str, str, str]], room: int) -> tuple[int, int]:
    """Columns of titles, and of values that have a note beside them, for rows of title, value and note."""
    shown = list(rows)
    named = min(max(cell_len(title) for title, _, _ in shown), max(22, room // 3))
    noted = max((cell_len(value) for _, value, note in shown if note), default=0)
    return named, min(noted + 3, room - named - _NOTE)


def field(title: str, value: str, note: str, room: int, widths: tuple[int, int]) -> Line:
    """A row of what stands fast of a loan."""
    named, noted = widths
    wide = noted if note else room - named - 3
    return (
        (f" {cell(title, named)} {cell(value, wide)}", ""),
        (f" {cell(note, room - wide - named - 3)}" if note else "", "quiet"),
    )
