"""The form for a viewing made on paper: every region and question of a sheet, all answers blank."""

import json
import re

from evaluation.plain_text import visible
from evaluation.session import GRADE_WORDS, part_words
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.work.look.possible_answers import nameable
from evaluation.work.paper.answer import expected

_HEAD = """\
# A viewing made on paper. Write each answer between its quotation marks; what stays blank was not judged.
# The codes of the paper form will do: 0 none, 21 yellow and just, 1, 3 the first and third fault.
# Grades, ITU-R BT.500: {grades}.
[viewing]
observer = ""  # blank: observer 1
# kind = "short"  # only the faults and one grade a region; without this line it is a full viewing
"""


def blank_form(sheet: Sheet) -> str:
    """The form of a sheet with every region and question. It holds no answer: read back, it has none."""
    lines = [_HEAD.format(grades=", ".join(f"{grade} {words}" for grade, words in GRADE_WORDS.items()))]
    for region in sheet.regions:
        if region.questions:
            lines += _region(sheet, region)
    return "\n".join(lines)


def _region(sheet: Sheet, region: SheetRegion) -> list[str]:
    """Its questions, its faults, then the grade of it as a whole: the order of Look."""
    number = f"{region.number}  " if region.number is not None else ""
    lines = [
        f"# {number}{visible(region.title)}: {visible(region.shows)}",
        f"[{_key(region.id)}]",
        "absent = false  # true: not on this sheet",
    ]
    for question in region.questions:
        if not question.whole_region:
            lines += _question(sheet, region, question)
    if region.faults:
        numbered = ", ".join(f"{place} {name}" for place, name in enumerate(region.faults, 1))
        lines += [f"# Which faults do you see? {visible(numbered)}", 'faults = ""  # none, or which']
    if region.whole is not None:
        lines += _question(sheet, region, region.whole)
    return [*lines, "again = false  # true: to be looked at again", 'remark = ""', ""]


def _question(sheet: Sheet, region: SheetRegion, question: Question) -> list[str]:
    key = _key(question.id)
    blank, hint = '""', visible(expected(question))
    match question.answer:
        case "grade":
            hint = "5 to 1"
        case "cast" if len(question.parts) > 1:
            inside = ", ".join(f'{_key(part)} = ""' for part in question.parts)
            called = ", ".join(part_words(question.parts))
            blank, hint = f"{{ {inside} }}", visible(f"{called}; each: none, or as yellow, just")
        case "place":
            names = nameable(sheet, region)
            last = max((sheet.patch(patch).step or 0 for patch in region.patch_ids), default=0)
            such = f"{names[0]} {min(last, 7)}, {names[-1]}" if last else f"{names[0]}, {names[-1]}"
            from_step = " and from which step" if last else ""
            hint = visible(f"none, or which{from_step}, as {such}; of: {', '.join(names)}")
    return [f"# {visible(question.ask)}", f"{key} = {blank}  # {hint}"]


def _key(text: str) -> str:
    """A key as TOML takes it: bare where it can be, else quoted with its control characters escaped."""
    return text if re.fullmatch(r"[A-Za-z0-9_-]+", text) else json.dumps(text)
