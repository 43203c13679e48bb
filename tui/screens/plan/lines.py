"""The plan as lines: a row for each paper in each setting, what comes next, what can still be done."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from evaluation.loan import Question
from evaluation.telling import loan as loan_words
from evaluation.telling import plan as words
from evaluation.work.plan import told
from evaluation.work.plan.plan import Job, Plan
from tui.widgets.lines import Line, Weight, cell, wrapped

_SETTING, _NEXT, _WHEN, _LATEST = 10, 13, 13, 10


def heading(room: int) -> Line:
    """The heads of the list."""
    return (("  " + _row("paper", "setting", "next", "when", "latest", room), "quiet"),)


def job(plan: Plan, one: Job, room: int) -> Line:
    """A row of the list; what can be done now is strong, what is over steps back."""
    when = told.when(plan, one, words.brief)
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


def paragraphs(sentences: Iterable[str], width: int) -> list[Line]:
    """Sentences, one below the other."""
    return [f"  {row}" for sentence in sentences for row in wrapped(sentence, width - 4)]


def question(one: Question, room: int) -> Line:
    """A row of the list of questions."""
    state = "answered" if one.answered is not None else "open"
    about = loan_words.about_words(one.who, one.paper, one.region)
    beside = min(30, room // 3) if about else 0
    text = f"{one.number:>3}  {cell(state, 9)}{cell(one.text, room - 16 - beside)}"
    return (
        (text, "quiet" if one.answered is not None else ""),
        (f" {cell(about, beside)}" if about else "", "quiet"),
    )


def asked(one: Question, now: datetime, width: int) -> list[Line]:
    """A question whole, with its answer."""
    local = one.asked.astimezone().replace(tzinfo=None)
    about = loan_words.about_words(one.who, one.paper, one.region)
    said = [one.text, f"Asked {words.clock(local, now)}" + (f" by {about}." if about else ".")]
    if one.answered is not None:
        said.append(loan_words.answer(one.answer, one.appendix).strip())
    return paragraphs(said, width)


def field(title: str, value: str, note: str, room: int) -> Line:
    """A row of what stands fast of a loan."""
    wide = max(30, room - 48) if note else room - 24
    return (
        (f" {cell(title, 22)} {cell(value, wide)}", ""),
        (f" {cell(note, room - wide - 26)}" if note else "", "quiet"),
    )
