"""A viewing made on paper in the booth, typed in afterwards: reading the form and recording it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from evaluation import keyed
from evaluation.archive import sessions
from evaluation.keyed import Keyed
from evaluation.said import Draft
from evaluation.session import (
    CAST_WORDS,
    STRENGTHS,
    Cast,
    Count,
    Grade,
    Pick,
    Place,
    Value,
    ViewingKind,
    YesNo,
)
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.work import look
from evaluation.work.answers import misfit
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.say import Step, say

NOT_RECORDED = "No grade was recorded."
_KINDS: tuple[ViewingKind, ...] = ("quick", "full")


@dataclass(frozen=True, slots=True)
class Form:
    """What a filled-in form says, checked against the sheet."""

    observer: str
    kind: ViewingKind
    answers: Mapping[tuple[str, str], Value]
    faults: tuple[tuple[str, str, str], ...]  # region, name, where
    again: tuple[str, ...]
    remarks: Mapping[str, str]


def read_form(text: str, where: str, sheet: Sheet) -> Form:
    """The grades form: [viewing], then one table a region. Every mistake is named by its key path."""
    top = keyed.parsed(text, where, what=NOT_RECORDED)
    head = top.table("viewing")
    observer = head.text("observer", "observer 1").strip() or "observer 1"
    kind = head.one_of("kind", _KINDS, "full")
    head.only()
    answers: dict[tuple[str, str], Value] = {}
    faults: list[tuple[str, str, str]] = []
    again: list[str] = []
    remarks: dict[str, str] = {}
    for region in sheet.regions:
        if not top.has(region.id):
            continue
        table = top.table(region.id)
        for question in region.questions:
            value = _answer(table, question)
            if value is None:
                continue
            if wrong := misfit(sheet, region, question, value):
                table.wrong(question.id, wrong[0], wrong[1])
            else:
                answers[region.id, question.id] = value
        faults += [(region.id, *fault) for fault in _faults(table, region)]
        if table.yes("again", False):
            again.append(region.id)
        if remark := table.text("remark", "").strip():
            remarks[region.id] = remark
        table.only()
    top.only("viewing", *(region.id for region in sheet.regions))
    if not answers and not faults and not remarks:
        top.note("viewing", "no answer found; the form has no region with one")
    top.finish()
    return Form(observer, kind, answers, tuple(faults), tuple(again), remarks)


def record(bench: Bench, session_id: int, form: Form) -> Step:
    """Keep the form as a viewing of its own; all of it is one entry in the undo, as it was one act."""
    viewing = look.start(bench, session_id, observer=form.observer, kind=form.kind)
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    drafts = [look.answer_draft(session, sheet, *key, value) for key, value in form.answers.items()]
    drafts += [
        Draft("fault", f"{region}/{name}", {"where": where}, viewing.id)
        for region, name, where in form.faults
    ]
    drafts += [Draft("again", region, True, viewing.id) for region in form.again]
    drafts += [Draft("remark", region, text, viewing.id) for region, text in form.remarks.items()]
    return say(bench, session_id, drafts)


def _answer(table: Keyed, question: Question) -> Value | None:
    """One answer, or None where the question is left open or the mistake has been noted."""
    key = question.id
    value = table.any(key)
    if value is None:
        return None
    try:
        match question.answer:
            case "grade":
                return Grade(_whole(value))
            case "count":
                return Count(_whole(value))
            case "yesno":
                if isinstance(value, bool):
                    return YesNo(value)
            case "cast":
                return _cast(value, question)
            case "pick":
                return _pick(value)
            case "place":
                return _place(value)
    except (ValueError, TypeError):
        pass
    table.wrong(key, _expected(question), value)
    return None


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError
    return value


def _cast(value: Any, question: Question) -> Cast:
    if value == "none":
        return Cast(tuple((part, "none", None) for part in question.parts))
    if isinstance(value, str) and len(question.parts) == 1:
        value = {question.parts[0]: value}
    if not isinstance(value, dict) or not value or set(value) - set(question.parts):
        raise TypeError
    parts = []
    for part in question.parts:
        word, _, strength = str(value.get(part, "none")).partition(",")
        word, strength = word.strip(), strength.strip()
        if word not in CAST_WORDS or (strength not in STRENGTHS if word != "none" else strength):
            raise ValueError
        parts.append((part, word, strength or None))
    return Cast(tuple(parts))  # type: ignore[arg-type]


def _pick(value: Any) -> Pick:
    if value == "none":
        return Pick(())
    if isinstance(value, str) and (outside := re.fullmatch(r"outside[:,]?\s+(\w+)", value)):
        word = outside[1]
        if word == "none" or word not in CAST_WORDS:
            raise ValueError
        return Pick((), word)
    numbers = value if isinstance(value, list) else [value]
    if not 1 <= len(numbers) <= 2:
        raise ValueError
    return Pick(tuple(_whole(number) for number in numbers))


def _place(value: Any) -> Place:
    if value == "none":
        return Place(())
    if not isinstance(value, dict):
        raise TypeError
    places = []
    for name, step in value.items():
        if step is not True and _whole(step) < 1:
            raise ValueError
        places.append((name, None if step is True else int(step)))
    return Place(tuple(places))


def _faults(table: Keyed, region: SheetRegion) -> list[tuple[str, str]]:
    faults = []
    for index, fault in enumerate(table.any("faults") or []):
        if isinstance(fault, str):
            fault = {"name": fault}
        name = fault.get("name") if isinstance(fault, dict) else None
        if name not in region.faults:
            known = ", ".join(region.faults) or "none"
            table.wrong(f"faults[{index}]", f"one of the faults of {region.title} ({known})", name)
        else:
            faults.append((str(name), str(fault.get("where", ""))))
    return faults


def _expected(question: Question) -> str:
    parts = ", ".join(question.parts)
    return {
        "grade": "a grade from 5 to 1",
        "count": "a whole number from 0",
        "yesno": "true or false",
        "cast": f"“none”, or a table of {parts} with a colour and just, clear or strong (“yellow, just”)",
        "pick": "a number, two numbers that tie, “none” or “outside: blue”",
        "place": "“none”, or a table of ramp and first step ({ red = 7 })",
    }[question.answer]
