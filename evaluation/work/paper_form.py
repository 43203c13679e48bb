"""The form for a viewing made on paper: every region and question of a sheet, with example answers."""

from evaluation.sheet.layout import Question, Sheet


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
        lines += ["", f"# {number}{region.title}: {region.shows}", f"[{region.id}]"]
        for question in region.questions:
            lines += [f"# {question.ask}", f"{question.id} = {_example(question)}"]
        if region.faults:
            lines.append(f"faults = []  # of: {', '.join(region.faults)}")
        lines += ["again = false", 'remark = ""']
    return "\n".join(lines) + "\n"


def _example(question: Question) -> str:
    match question.answer:
        case "grade":
            return "4"
        case "count":
            return "3"
        case "yesno":
            return "true"
        case "pick":
            return "21  # or [21, 34], “none”, “outside: blue”"
        case "place":
            return "{ blue = 7 }  # or “none”"
        case "cast":
            inside = ", ".join(
                f'{part} = "{"yellow, just" if index == 0 else "none"}"'
                for index, part in enumerate(question.parts)
            )
            return f"{{ {inside} }}  # or “none”"
