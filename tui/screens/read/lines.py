"""What Read shows, as lines: files, the facts of one, what it leaves open. Pure text."""

from collections.abc import Sequence
from typing import Final

from evaluation.readings.supplied import OpenQuestion
from evaluation.work.take_in.facts import FileFact
from evaluation.work.take_in.files import Candidate, TakenFile
from tui.widgets.lines import Line, cell, wrapped

_WORDS: Final = {"managed": "as a picture, through the profile", "unmanaged": "unmanaged, as for profiling"}

_ASKED: Final = 44  # columns of a question


def readings_in(taken: Sequence[TakenFile], width: int) -> list[Line]:
    """Readings that are in, what they are beside them, in a narrow panel below; or how to bring some in."""
    if not taken:
        how = "Nothing read yet. Enter looks at a file, t takes it in; p types readings."
        return [f" {row}" for row in wrapped(how, width - 2)]
    lines: list[Line] = []
    for each in taken[:6]:
        if width >= 60:
            lines.append(f" {cell(each.name, 26)} {cell(each.about, width - 29)}")
        else:
            lines += [
                f" {cell(each.name, width - 2)}",
                *(f"   {row}" for row in wrapped(each.about, width - 4)),
            ]
    if len(taken) > 6:
        lines.append(f" and {len(taken) - 6} more")
    return lines


def file_row(each: Candidate, width: int) -> Line:
    if each.kept_as:
        return f"  {cell(each.path.name, min(44, width - 36))} what the profile was made from"
    when = f"{each.modified.astimezone():%d %b, %H:%M}"
    size = f"{each.size / 1000:,.0f} kB" if each.size >= 1000 else f"{each.size} bytes"
    return f"  {cell(each.path.name, min(44, width - 36))} {cell(when, 15)}{size:>10}"


def _value_room(width: int) -> int:
    return 31 if width < 100 else 46


def fact_row(fact: FileFact, width: int) -> Line:
    value_room = _value_room(width)
    return (
        (f" {cell(fact.name, 16)}{cell(fact.value, value_room)}", ""),
        (cell(fact.note, width - 21 - value_room), "quiet"),
    )


def fact_whole(fact: FileFact, width: int) -> str:
    """A fact whose row of so many columns cuts it, as a sentence; else ""."""
    room = _value_room(width)
    if len(fact.value) < room and len(fact.note) <= width - 21 - room:
        return ""
    told = ", ".join(words for words in (fact.value, fact.note) if words)
    return f"{fact.name[:1].upper()}{fact.name[1:]}: {told.rstrip('.')}."


def ask_row(ask: OpenQuestion, width: int) -> Line:
    return f" {cell(ask.question, _ASKED)}{cell(ask.found, width - _ASKED - 6)}"


def ask_foot(ask: OpenQuestion, width: int) -> list[Line]:
    """The question whole where its row may cut it, and the answers that a digit gives."""
    shown = "   ".join(f"{place} {answer}" for place, answer in enumerate(ask.answers, 1))
    told = wrapped(ask.question, width - 2) if len(ask.question) > _ASKED else []
    return [f" {row}" for row in (*told, *wrapped(shown or "Enter, then type it.", width - 2))]


def preview_foot(
    remarks: Sequence[str], values: str, options: Sequence[str], width: int, here: str = ""
) -> list[Line]:
    """Choices of an opened row, else the row `here` whole, what looks odd and what stays out of sight."""
    if options:
        shown = "   ".join(f"{place} {_WORDS.get(answer, answer)}" for place, answer in enumerate(options, 1))
        return [f" {row}" for row in wrapped(shown, width - 2)]
    lines: list[Line] = [f" {row}" for row in wrapped(here, width - 2)] if here else []
    for remark in remarks[:2]:
        sentence = f"{remark[:1].upper()}{remark[1:].rstrip('.')}."
        lines += [f" {row}" for row in wrapped(sentence, width - 2, 2)]
    if len(remarks) > 2:
        lines.append(f" And {len(remarks) - 2} more; c copies all of this.")
    first, *rest = wrapped(values, width - 12, 2)
    return [*lines, f" Values    {first}", *(f"{'':11}{row}" for row in rest)]
