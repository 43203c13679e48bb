"""The form for a viewing made on paper: every region and question of a sheet, with example answers."""

import json
import re

from evaluation.plain_text import visible
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.work.answers import pickable


def blank_form(sheet: Sheet) -> str:
    """The form of a sheet with every region and question, filled with example answers."""
    lines = [
        "# Grades run from 5 (imperceptible) to 1 (very annoying), ITU-R BT.500.",
        "# Leave out what was not judged.",
        "[viewing]",
        'observer = "observer 1"',
        'kind = "full"  # or "quick": one grade a region',
    ]
    for region in sheet.regions:
        if not region.questions:
            continue
        number = f"{region.number}  " if region.number is not None else ""
        lines += ["", f"# {number}{visible(region.title)}: {visible(region.shows)}", f"[{_key(region.id)}]"]
        for question in region.questions:
            example = _example(sheet, region, question)
            lines += [f"# {visible(question.ask)}", f"{_key(question.id)} = {example}"]
        if region.faults:
            lines.append(f"faults = []  # of: {visible(', '.join(region.faults))}")
        lines += ["again = false", 'remark = ""']
    return "\n".join(lines) + "\n"


def _key(text: str) -> str:
    """A key as TOML takes it: bare where it can be, else quoted with its control characters escaped."""
    return text if re.fullmatch(r"[A-Za-z0-9_-]+", text) else json.dumps(text)


def _example(sheet: Sheet, region: SheetRegion, question: Question) -> str:
    match question.answer:
        case "grade":
            return "4"
        case "count":
            return "3"
        case "yesno":
            return "true"
        case "pick":
            one, other = (*pickable(sheet, region, question), 21, 34)[:2]
            return f"{one}  # or [{one}, {other}], “none”, “outside: blue”"
        case "place":
            patches = (sheet.patch(patch_id) for patch_id in region.patch_ids)
            ramp = next((patch.series for patch in patches if patch.series), "blue")
            return f"{{ {_key(ramp)} = 2 }}  # or “none”"
        case "cast":
            inside = ", ".join(
                f'{_key(part)} = "{"yellow, just" if index == 0 else "none"}"'
                for index, part in enumerate(question.parts)
            )
            return f"{{ {inside} }}  # or “none”"
