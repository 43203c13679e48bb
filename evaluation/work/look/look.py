"""Look: viewings and their answers. Every verb commits before it returns."""

import random
from collections.abc import Sequence

from evaluation.archive import sessions
from evaluation.entry import Draft, encoded
from evaluation.errors import UsageProblem
from evaluation.session import Grade, Session, Value, Viewing, ViewingKind
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.sheet.questions import OVERALL, fault_words
from evaluation.work.bench import Bench, drawn_sheet_of, sheet_of
from evaluation.work.gate import was_revealed
from evaluation.work.log import Entered, refuse_read_only, say, summarise
from evaluation.work.look.possible_answers import misfit


def start(
    bench: Bench,
    session_id: int,
    *,
    observer: str = "observer 1",
    kind: ViewingKind = "full",
    reference: int | None = None,
    shuffled: int | None = None,
) -> Viewing:
    """Begin a viewing. Regions come in the order of the sheet, or drawn once from the seed `shuffled`."""
    refuse_read_only(bench)
    session = sessions.load(bench.archive, session_id)
    order = [region.id for region in drawn_sheet_of(bench, session).regions if region.questions]
    if shuffled is not None:
        random.Random(shuffled).shuffle(order)
    return sessions.start_viewing(
        bench.archive,
        session_id,
        observer=observer,
        kind=kind,
        region_order=order,
        now=bench.now(),
        summarise=summarise(bench),
        reference=reference,
    )


def is_looked_at_here(bench: Bench, session_id: int) -> bool:
    """Whether somebody here has looked: viewings that came by a merge are not shown to eyes that have not."""
    return sessions.is_looked_at_here(bench.archive, session_id)


def answer(
    bench: Bench,
    session_id: int,
    region_id: str,
    question_id: str,
    value: Value | None,
    *,
    at_hand: Session | None = None,
) -> Entered:
    """Answer a question of the newest viewing; None opens it again. Refuses what the question cannot take.

    A new grade of a region as a whole is the second look that it was marked for.
    `at_hand` is the session as the caller saw it last: it is read again only when it is another by now.
    """
    session = sessions.current(bench.archive, session_id, at_hand)
    drafts = [answer_draft(session, sheet_of(bench, session), region_id, question_id, value)]
    viewing = _viewing(session)
    if isinstance(value, Grade) and question_id == OVERALL and region_id in viewing.look_again:
        drafts.append(Draft("again", region_id, None, viewing.id))
    return say(bench, session_id, drafts)


def answer_draft(
    session: Session, sheet: Sheet, region_id: str, question_id: str, value: Value | None
) -> Draft:
    """The draft of an answer in the newest viewing, marked when its region's readings were seen before."""
    region = _region(sheet, region_id)
    question = _question(region, question_id)
    if value is not None and (wrong := misfit(sheet, region, question, value)):
        expected, found = wrong
        raise UsageProblem(
            "Nothing was saved.", where=f"{region.title}: {question.ask}", expected=expected, found=found
        )
    return Draft(
        "answer",
        f"{region_id}/{question_id}",
        encoded(value) if value is not None else None,
        _viewing(session).id,
        after_reveal=was_revealed(session, region_id),
    )


def fault(
    bench: Bench,
    session_id: int,
    region_id: str,
    name: str,
    *,
    seen: bool = True,
    where: str = "",
    at_hand: Session | None = None,
) -> Entered:
    """Note a fault of a region, or take it away again."""
    viewing = _viewing(sessions.current(bench.archive, session_id, at_hand))
    value = {"where": where} if seen else None
    drafts = [Draft("fault", f"{region_id}/{name}", value, viewing.id)]
    if seen and region_id in viewing.faultless:
        drafts.append(Draft("fault", f"{region_id}/", None, viewing.id))
    return say(bench, session_id, drafts)


def faults(
    bench: Bench, session_id: int, region_id: str, names: Sequence[str], *, at_hand: Session | None = None
) -> Entered:
    """Set the faults of a region to exactly these, in one key press; () says there are none."""
    viewing = _viewing(sessions.current(bench.archive, session_id, at_hand))
    before = {fault.name for fault in viewing.faults if fault.region == region_id}
    drafts = [Draft("fault", f"{region_id}/{name}", {"where": ""}, viewing.id) for name in names]
    if bool(names) == (region_id in viewing.faultless):
        drafts.append(Draft("fault", f"{region_id}/", None if names else {"none": True}, viewing.id))
    drafts += [
        Draft("fault", f"{region_id}/{name}", None, viewing.id) for name in sorted(before - set(names))
    ]
    return say(bench, session_id, drafts)


def again(
    bench: Bench, session_id: int, region_id: str, wanted: bool = True, *, at_hand: Session | None = None
) -> Entered:
    """Mark a region for a second look, or take the mark away."""
    viewing = _viewing(sessions.current(bench.archive, session_id, at_hand))
    return say(bench, session_id, [Draft("again", region_id, True if wanted else None, viewing.id)])


def absent(
    bench: Bench, session_id: int, region_id: str, lacking: bool = True, *, at_hand: Session | None = None
) -> Entered:
    """Say that the print lacks a region, or has it. What was answered about one it lacks counts no more."""
    session = sessions.current(bench.archive, session_id, at_hand)
    _region(drawn_sheet_of(bench, session), region_id)
    others = tuple(each for each in session.condition.absent if each != region_id)
    return say(bench, session_id, [absent_draft((*others, region_id) if lacking else others)])


def absent_draft(regions: Sequence[str]) -> Draft:
    """The draft that says which regions of the map the print lacks: these and no others."""
    return Draft("condition", "absent", list(dict.fromkeys(regions)) or None)


def asked(region: SheetRegion, kind: ViewingKind, *, second_light: bool) -> tuple[Question, ...]:
    """The questions a viewing of that kind puts about a region; those for a second light need one."""
    if kind == "quick":
        return (region.whole,) if region.whole else ()
    return tuple(q for q in region.questions if second_light or "second" not in q.light)


def meaning(fault: str) -> str:
    """What a fault looks like; empty for one of a map's own."""
    return fault_words().get(fault, "")


def names_second_light(session: Session) -> bool:
    """Whether Prepare names a second light to look under."""
    light = session.readiness.get("viewing_light")
    return light is not None and bool(light.detail.get("second"))


def _viewing(session: Session) -> Viewing:
    if session.viewing is None:
        raise UsageProblem("No viewing has begun in this session.", remedy="Begin one in Look.")
    return session.viewing


def _region(sheet: Sheet, region_id: str) -> SheetRegion:
    try:
        return sheet.region(region_id)
    except KeyError:
        raise UsageProblem(f"This sheet has no region “{region_id}”.", remedy="Nothing was saved.") from None


def _question(region: SheetRegion, question_id: str) -> Question:
    for question in region.questions:
        if question.id == question_id:
            return question
    raise UsageProblem(f"{region.title} has no question “{question_id}”.", remedy="Nothing was saved.")
