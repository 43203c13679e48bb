"""A viewing made on paper in the booth, typed in afterwards: reading the form and recording it."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from evaluation import keyed
from evaluation.archive import sessions
from evaluation.entry import Draft
from evaluation.keyed import Keyed
from evaluation.plain_text import listed
from evaluation.session import Session, Value, Viewing, ViewingKind
from evaluation.sheet.layout import Sheet, SheetRegion
from evaluation.work.bench import Bench, drawn_sheet_of
from evaluation.work.log import Entered, refuse_read_only, say
from evaluation.work.look import look
from evaluation.work.look.possible_answers import misfit, nameable
from evaluation.work.paper.answer import NONE, dash, number_alone, read_answer, several

NOT_RECORDED = "No grade was recorded."
FAULTS = "faults"
_KINDS: Mapping[str, ViewingKind] = {"short": "quick", "full": "full", "quick": "quick"}  # as forms say it


@dataclass(frozen=True, slots=True)
class Form:
    """What a filled-in form says, checked against the sheet."""

    observer: str
    kind: ViewingKind
    answers: Mapping[tuple[str, str], Value]
    faults: tuple[tuple[str, str, str], ...]  # region, name, where
    faultless: tuple[str, ...]  # regions where none was seen
    absent: tuple[str, ...]  # regions that are not on the sheet
    again: tuple[str, ...]
    remarks: Mapping[str, str]


def read_form(text: str, where: str, sheet: Sheet, *, absent_before: Collection[str] = ()) -> Form:
    """The grades form: [viewing], then one table a region. Every mistake is named by its key path.

    `absent_before`: regions that the session says are not on the sheet; nothing can be answered about them.
    """
    top = keyed.parsed(text, where, what=NOT_RECORDED, form=True)
    head = top.table("viewing")
    observer = head.text("observer", "observer 1").strip()
    kind = _KINDS[head.one_of("kind", tuple(_KINDS), "full")]
    head.only()
    answers: dict[tuple[str, str], Value] = {}
    faults: list[tuple[str, str, str]] = []
    faultless, absent, again = [], [], []
    remarks: dict[str, str] = {}
    for region in sheet.regions:
        if not top.has(region.id):
            continue
        table = top.table(region.id)
        own = _answers(table, region, sheet)
        seen = _faults(table, region)
        if table.yes("absent", False):
            absent.append(region.id)
        if (own or seen is not None) and region.id in {*absent, *absent_before}:
            table.note("absent", "answered, and yet not on this sheet; Look puts a region back on it")
        if table.yes("again", False):
            again.append(region.id)
        if remark := table.text("remark", "").strip():
            remarks[region.id] = remark
        table.only()
        answers |= {(region.id, question): value for question, value in own.items()}
        faults += [(region.id, *fault) for fault in seen or ()]
        faultless += [region.id] if seen == () else []
    top.only()
    top.finish()
    if not any((answers, faults, faultless, absent, again, remarks)):
        top.note("viewing", "no answer found; every line of the form is blank")
        top.finish()
    return Form(
        observer, kind, answers, tuple(faults), tuple(faultless), tuple(absent), tuple(again), remarks
    )


def record(bench: Bench, session_id: int, form: Form) -> Entered:
    """Keep the form as a viewing of its own; all of it is one entry in the undo, as it was one act."""
    refuse_read_only(bench)
    with bench.archive.joined():
        viewing = look.start(bench, session_id, observer=form.observer, kind=form.kind)
        session = sessions.load(bench.archive, session_id)
        sheet = drawn_sheet_of(bench, session)
        drafts = [look.answer_draft(session, sheet, *key, value) for key, value in form.answers.items()]
        drafts += [
            Draft("fault", f"{region}/{name}", {"where": where}, viewing.id)
            for region, name, where in form.faults
        ]
        drafts += [Draft("fault", f"{region}/", {"none": True}, viewing.id) for region in form.faultless]
        drafts += [Draft("again", region, True, viewing.id) for region in form.again]
        drafts += [Draft("remark", region, text, viewing.id) for region, text in form.remarks.items()]
        if form.absent:
            drafts.append(look.absent_draft((*session.condition.absent, *form.absent)))
        return say(bench, session_id, drafts)


def left_out(form: Form, session: Session, sheet: Sheet) -> Mapping[str, tuple[str, ...]]:
    """What the form leaves open of each region, by the keys of the form; "all" where it says nothing."""
    second = look.names_second_light(session)
    judged = {region for region, _, _ in form.faults} | set(form.faultless)
    found: dict[str, tuple[str, ...]] = {}
    for region in sheet.regions:
        asked = look.asked(region, form.kind, second_light=second)
        if not asked or region.id in form.absent:
            continue
        left = [question.id for question in asked if (region.id, question.id) not in form.answers]
        whole = len(left) == len(asked) and region.id not in judged
        if region.faults and region.id not in judged:
            left.append(FAULTS)
        if left:
            found[region.id] = ("all",) if whole else tuple(left)
    return found


def same_before(form: Form, session: Session) -> Viewing | None:
    """An earlier viewing that says the very same: perhaps this form, recorded twice."""

    def said(viewing: Viewing) -> tuple[object, ...]:
        answers = {key: answer.value for key, answer in viewing.answers.items()}
        faults = {(fault.region, fault.name, fault.where) for fault in viewing.faults}
        return viewing.observer, answers, faults, set(viewing.faultless), dict(viewing.remarks)

    own = (form.observer, dict(form.answers), set(form.faults), set(form.faultless), dict(form.remarks))
    return next((viewing for viewing in session.viewings if said(viewing) == own), None)


def _answers(table: Keyed, region: SheetRegion, sheet: Sheet) -> dict[str, Value]:
    """The answers about a region, by question; one that names what is not printed there is noted."""
    found = {}
    for question in region.questions:
        value = read_answer(table, question, nameable(sheet, region))
        if value is None:
            continue
        if wrong := misfit(sheet, region, question, value):
            table.wrong(question.id, *wrong)
        else:
            found[question.id] = value
    return found


def _faults(table: Keyed, region: SheetRegion) -> tuple[tuple[str, str], ...] | None:
    """Faults with where they are; () where there are none, None where the list is left open."""
    written = table.any(FAULTS)
    if written is None or written == []:
        return None
    seen = written if isinstance(written, list) else [written]
    if dash(written):
        table.wrong(FAULTS, "none, or which; blank where you did not look for faults", written)
        return None
    if isinstance(written, str | int):
        text = str(written).strip()
        if text.casefold() in NONE:
            return ()
        seen = [text] if _fault(text, region) else several(" ".join(text.split()))
        if len(seen) == 1 and _digits_apart(text, region):
            seen = list(text)
    found: dict[str, str] = {}
    for index, each in enumerate(seen):
        key, where = f"{FAULTS}[{index}]" if written is seen else FAULTS, ""
        if isinstance(each, dict):
            inside = table.inside(key, each)
            each, where = inside.any("name"), inside.text("where", "").strip()
            inside.only()
        if name := _fault(each, region):
            found[name] = where
        else:
            numbered = listed([f"{n} {name}" for n, name in enumerate(region.faults, 1)]) or "none"
            table.wrong(key, f"none, or faults of {region.title} by name or number ({numbered})", each)
    return tuple(found.items())


def _digits_apart(text: str, region: SheetRegion) -> bool:
    """Whether “13” can only be the faults 1 and 3: there is no thirteenth, and each digit is one."""
    return (
        text.isascii()
        and text.isdigit()
        and int(text[:6]) > len(region.faults)
        and len(set(text)) == len(text)
        and all(1 <= int(digit) <= len(region.faults) for digit in text)
    )


def _fault(written: Any, region: SheetRegion) -> str | None:
    """The fault that is meant, by its name, one or several, or by its number on form and screen."""
    text = number_alone(" ".join(str(written).casefold().split()))
    if text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= len(region.faults):
        return region.faults[int(text[:6]) - 1]
    return next((name for name in region.faults if _singular(name) == _singular(text)), None)


def _singular(name: str) -> str:
    """A fault's name as compared: small letters, hyphens as blanks, without the s of several."""
    return name.casefold().replace("-", " ").removesuffix("s")
