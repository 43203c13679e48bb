"""What was printed and how: the condition, the readiness list, caveats, and what was seen too early."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from evaluation.appendix.case import Case, Naming, observer_words
from evaluation.appendix.document import Block, Facts, Paragraph, Points, Section
from evaluation.plain_text import listed, lower_first
from evaluation.session import (
    READINESS,
    SERIOUS_READINESS,
    USES_IN_FULL,
    PrintingCondition,
    Session,
)
from evaluation.telling.entries import FIELD_WORDS, detail_shown
from evaluation.telling.numbers import NOTHING, number
from evaluation.telling.table import Table
from evaluation.telling.wording import counted, folded, moment, sentence, spaced, utc

_NOT_SHOWN = ("profile_digest", "sheet_code")
_UNASKED = (
    "tone_wanted",
    "black_from",
    "sheet_width_mm",
    "sheet_height_mm",
)  # not missed where nothing was said
_FIELDS = {name: lower_first(words) for name, words in FIELD_WORDS.items() if name not in _NOT_SHOWN}


def how_printed(condition: PrintingCondition) -> str:
    """The print in one line, under its paper: printer, quality setting, driver mode.

    >>> how_printed(PrintingCondition(paper="Rag 293", printer="Merrowby 24", quality="3"))
    'printed on Merrowby 24, quality setting 3'
    """
    parts = []
    if condition.printer:
        parts.append(f"printed on {folded(condition.printer)}")
    if condition.quality:
        parts.append(f"quality setting {folded(condition.quality)}")
    if condition.driver_mode:
        parts.append(folded(condition.driver_mode))
    elif condition.profile:
        parts.append("through the profile")
    return ", ".join(parts) or "printer not said"


def printed(case: Case, naming: Naming, prefix: str) -> Section:
    """The section "What was printed and how" of one session."""
    session, condition = case.session, case.session.condition
    values = {name: _said(getattr(condition, name)) for name in _FIELDS}
    if condition.made_for:
        values["made_for"] = USES_IN_FULL[condition.made_for]
    if condition.black_from is not None:
        values["black_from"] = f"session {condition.black_from}, where no profile says it"
    said = [(_FIELDS[name], value) for name, value in values.items() if value]
    open_fields = [_FIELDS[name] for name, value in values.items() if not value and name not in _UNASKED]
    said.append(("reference sheet", _sheet(case)))
    blocks: list[Block] = [Facts(tuple(said))]
    if open_fields:
        blocks.append(Paragraph(f"Not said: {listed(open_fields)}.", "caution"))
    blocks.append(_readiness(session))
    blocks += list(_caveats(case))
    blocks.append(_early(case, naming))
    if remarks := [f"{spaced(subject)}: {folded(text)}" for subject, text in session.remarks.items()]:
        blocks.append(Points("Remarks on the session", tuple(sentence(remark) for remark in remarks)))
    return Section(f"{prefix}-printed", "What was printed and how", tuple(blocks))


def _said(value: Any) -> str:
    match value:
        case None | "":
            return ""
        case bool():
            return "on" if value else "off"
        case datetime():
            return moment(value)
        case float() | int():
            return f"{number(value, 0)} mm"
        case _:
            return folded(str(value))


def _sheet(case: Case) -> str:
    width, height = case.sheet.size_mm
    size = f", {number(width, 0)} × {number(height, 0)} mm" if width and height else ""
    absent = listed([folded(region.title) for region in case.sheet.absent])
    return (
        f"“{folded(case.sheet.title)}”{size}, {counted(len(case.sheet.regions), 'region')}, "
        f"{counted(len(case.sheet.patches), 'patch', 'patches')}"
        f"{f'; not on this print: {absent}' if absent else ''}"
    )


def _readiness(session: Session) -> Table:
    rows = []
    for item, words in READINESS.items():
        made = session.readiness.get(item)
        mark = made.mark if made and made.mark else "open"
        weight = " (weighs on the verdict)" if mark != "done" and item in SERIOUS_READINESS else ""
        rows.append(
            (
                words,
                f"{mark}{weight if mark != 'does not apply' else ''}",
                utc(made.at) if made and made.mark else NOTHING,
                (detail_shown(made.detail) if made else "") or NOTHING,
            )
        )
    return Table("Readiness of the print and of the place", ("item", "state", "when", "detail"), tuple(rows))


def _caveats(case: Case) -> Iterator[Block]:
    if case.weighing.caveats:
        yield Points(
            "Caveats of every result of this session", tuple(sentence(c) for c in case.weighing.caveats)
        )


def _early(case: Case, naming: Naming) -> Block:
    """Which readings were shown before the eye had graded their region, and what was answered after that."""
    session = case.session
    title = {region.id: region.title for region in case.sheet.regions}
    told = [
        f"{folded(title.get(region, region))}: shown {utc(at)}, before any viewing"
        for region, at in session.revealed.items()
    ]
    for viewing in session.viewings:
        who = f"viewing {viewing.ordinal} of {observer_words(session, viewing, naming)}"
        told += [
            f"{folded(title.get(region, region))}: shown {utc(at)}, during {who}"
            for region, at in viewing.revealed.items()
        ]
        late = {region for (region, _), answer in viewing.answers.items() if answer.after_reveal}
        told += [
            f"{folded(title.get(region, region))}: answered after its readings were seen, in {who}"
            for region in sorted(late)
        ]
    if not told and not case.taken:
        return Paragraph("No readings were taken in, so none were seen before the eye had graded.")
    if not told:
        return Paragraph("No readings were shown before the eye had graded their region.")
    return Points("Readings seen before the eye had spoken", tuple(sentence(line) for line in told))
