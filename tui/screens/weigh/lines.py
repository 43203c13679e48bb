"""What Weigh shows, as lines: the table with its ruler, the reasons, an opened row. Pure text."""

from collections.abc import Sequence
from itertools import zip_longest
from typing import Final

from evaluation.csv_text import tabbed
from evaluation.judgement.opinion import Finding, Opinion, Verdict, Weighing
from evaluation.session import for_use
from evaluation.sheet.layout import Sheet
from evaluation.telling.wording import how_sure
from tui.screens.weigh.opened import faults, spread
from tui.widgets.lines import Line, cell, text_of, wrapped
from tui.widgets.ruler import HEADING, ruler

_PAGE: Final = 100  # columns of a copied page
_LONGEST: Final = 32  # columns of the longest name of a region with its number
NOTE: Final = "E eye, I instrument, B both. How readings become grades is our own choice."
OTHERWISE: Final = "Written up with other results than these; v says which, and why they changed."
OWN: Final = "E eye, I instrument, B both. How readings become grades is partly your own choice."


def kept_from(named: str | None) -> str:
    """Why nothing is weighed while somebody is named to look who has not begun."""
    return (
        f"{named} looks next: grades of others stay out of sight until that viewing has begun. g 3 goes to "
        "Look, where it begins; naming the last observer there again shows the result here."
    )


def heading(width: int) -> Line:
    """Names of the columns, for a table with its gutter."""
    word = "  " + f"{'agreement':<15}" if _roomy(width) else " " + f"{'agreement':<9}"
    return ((f"{'':{_title(width) + 4}}{'eye':<5}{'inst':<6}{HEADING}{word}{'comb':>5}", "quiet"),)


def row(finding: Finding, sheet: Sheet, width: int) -> Line:
    """One region: both grades, the ruler, agreement in a word, the combined grade. After the gutter's two."""
    number = next((each.number for each in sheet.regions if each.id == finding.region), None)
    disagree = finding.agreement == "disagree"
    sign = "≠" if disagree else " "
    digits = max((len(str(each.number)) for each in sheet.regions if each.number is not None), default=1)
    title = f"{'' if number is None else number:>{digits}} {_lower(finding.title)}"
    rule = ruler(_value(finding.eye), _value(finding.instrument), disagree=disagree)
    text = (
        f"{sign}{cell(title, _title(width))}{_grade(finding.eye):>4}{_grade(finding.instrument):>6}  {rule}"
    )
    word = "  " + cell(_word(finding), 16) if _roomy(width) else " " + cell(_brief(finding), 10)
    return (text, ""), (word, "strong" if disagree else ""), (f"{_grade(finding.combined):>4}", "")


def _roomy(width: int) -> bool:
    """Whether every region's name stands whole beside the agreement's longest word."""
    return width >= _LONGEST + 54


def _title(width: int) -> int:
    """Columns of a region's number and name: what the numbers leave, as far as names go."""
    return _LONGEST if _roomy(width) else max(22, min(_LONGEST, width - 47))


def _word(finding: Finding) -> str:
    """The agreement in a word; where neither speaks there is none."""
    return {"disagree": "DISAGREE", "none": "-"}.get(finding.agreement, finding.agreement)


def _brief(finding: Finding) -> str:
    """The agreement in a word as short as the columns' names."""
    word = _word(finding)
    return {"instrument only": "inst only", "not graded yet": "not graded"}.get(word, word)


def verdict_title(
    use: str, verdict: Verdict | None, caveats: int, causes: int, observers: int = 0, room: int = _PAGE * 2
) -> tuple[str, str]:
    """Title and note of the verdict's frame: the verdict, and what else there is to read, with its keys.

    Where both do not stand in `room` columns, how sure the verdict is is left to the reasons below.
    """
    several = observers > 1
    parts = (
        ("observer", observers * several, "v"),
        ("caveat", caveats, "v v" if several else "v"),
        ("possible cause", causes, "Tab"),
    )
    note = "   ".join(f"{count} {noun}{'s' * (count > 1)}: {key}" for noun, count, key in parts if count)
    title = for_use(use).capitalize()
    if verdict is None:
        return title, note
    word, sure = how_sure(verdict.words)
    whole = f"{title}: {word}{sure}"
    return (whole if len(whole) + len(note) + 8 <= room else f"{title}: {word}"), note


def verdict_panel(verdict: Verdict | None, finding: Finding | None, width: int, height: int) -> list[Line]:
    """What decides the verdict; below it the row under the cursor in words."""
    lines: list[Line] = []
    if verdict is not None:
        reasons = " ".join(verdict.reasons)
        if verdict.would_decide:
            reasons += f" {verdict.would_decide}"
        most = None if finding is None else max(2, height - 3)
        lines = [f" {text}" for text in wrapped(reasons, width - 2, most)]
    if finding is None:
        return lines[:height]
    said = wrapped(f"{finding.title}. {finding.why}{faults(finding)}", width - 2, max(1, height - len(lines)))
    return [*lines, *(((f" {text}", "quiet"),) for text in said)][:height]


def as_text(weighing: Weighing, caveats: Sequence[str], sheet: Sheet, use: str, title: str) -> str:
    """The whole table with reasons and verdict, for copying."""
    rows = [title, "", text_of(heading(_PAGE))]
    for finding, after in zip_longest(weighing.findings, weighing.findings[1:]):
        rows.append(f"  {text_of(row(finding, sheet, _PAGE))}")
        if after is None or after.why != finding.why:  # what neighbours share is told once, below them
            rows.append(f"      {finding.why}")
    verdict = verdict_panel(weighing.verdicts.get(use), None, 200, 20)
    rows += [
        "",
        verdict_title(use, weighing.verdicts.get(use), 0, 0)[0],
        *(text_of(line) for line in verdict),
    ]
    rows += ["", *(f"   {caveat}" for caveat in caveats)]
    return "\n".join(line.rstrip() for line in rows) + "\n"


def tabbed_table(weighing: Weighing, sheet: Sheet) -> str:
    """The findings as cells with tabs between."""
    numbers = {each.id: each.number for each in sheet.regions}
    heads = ("no.", "region", "eye", "eye ±", "readings", "readings ±", "agreement", "combined", "why")
    rows = [
        (
            numbers.get(finding.region),
            finding.title,
            *_cells(finding.eye),
            *_cells(finding.instrument),
            finding.agreement,
            _cells(finding.combined)[0],
            finding.why,
        )
        for finding in weighing.findings
    ]
    return tabbed(heads, rows)


def sentence(finding: Finding) -> str:
    """A finding to quote: both grades, whether they agree, and why."""
    grades = [
        f"{name} {spread(opinion)}"
        for name, opinion in (("eye", finding.eye), ("readings", finding.instrument))
        if opinion is not None
    ]
    word = {"agree": "they agree", "disagree": "they disagree"}.get(finding.agreement, finding.agreement)
    return f"{finding.title}: {', '.join([*grades, word])}. {finding.why}{faults(finding)}"


def _cells(opinion: Opinion | None) -> tuple[float | None, float | None]:
    return (None, None) if opinion is None else (round(opinion.grade, 1), round(opinion.spread, 1))


def _grade(opinion: Opinion | None) -> str:
    return f"{opinion.grade:.1f}" if opinion is not None else "-"


def _value(opinion: Opinion | None) -> float | None:
    return opinion.grade if opinion is not None else None


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
