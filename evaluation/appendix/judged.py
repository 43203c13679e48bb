"""How the eye judged: observers and viewings, the light, the adaptation, and the scale with its source."""

from collections.abc import Iterator

from evaluation.appendix.case import Case, Naming, observer_words, viewing_words
from evaluation.appendix.document import Block, Facts, Paragraph, Section
from evaluation.plain_text import listed
from evaluation.session import GRADE_WORDS, Session, Viewing
from evaluation.telling.entries import detail_shown
from evaluation.telling.table import Table
from evaluation.telling.wording import counted, folded, utc

SCALE_SOURCE = "Recommendation ITU-R BT.500, five-grade impairment scale"
_ABOUT_EYE = ("viewing_light", "surround", "adapted", "colour_vision")
_ABOUT_WORDS = {
    "viewing_light": "viewing light",
    "surround": "surround",
    "adapted": "adaptation",
    "colour_vision": "colour vision",
}


def judged(case: Case, naming: Naming, prefix: str) -> Section:
    """The section "How it was judged" of one session."""
    session = case.session
    blocks: list[Block] = []
    if session.viewings:
        blocks.append(_viewings(case, naming))
        if session.viewings and any(viewing.reference is not None for viewing in session.viewings):
            blocks.append(
                Paragraph(
                    "Where an accepted print lay beside this one, the scale is one of comparison; "
                    "such viewings are not averaged with others."
                )
            )
    else:
        blocks.append(Paragraph("Nobody has looked at this print yet.", "caution"))
    blocks.append(Facts(tuple(_surroundings(session))))
    blocks.append(
        Table(
            f"The scale. Source: {SCALE_SOURCE}",
            ("grade", "means"),
            tuple((str(value), words) for value, words in GRADE_WORDS.items()),
            right=(0,),
        )
    )
    if session.viewings:
        blocks.append(Paragraph(" ".join(_how_graded(session, read=bool(case.taken)))))
    return Section(f"{prefix}-judged", "How it was judged", tuple(blocks))


def _how_graded(session: Session, *, read: bool) -> Iterator[str]:
    yield "Grade 5 means: looked for as told, and not seen."
    if any(viewing.kind == "full" for viewing in session.viewings):
        yield "In a full viewing a region's own questions led the eye; the last, on its whole, is the grade."
    if any(viewing.kind == "quick" for viewing in session.viewings):
        yield "In a short viewing each region was looked at for its faults, then graded as a whole."
    if not read or session.revealed or any(viewing.revealed for viewing in session.viewings):
        return
    again = len({viewing.observer for viewing in session.viewings}) < len(session.viewings)
    if again:
        yield (
            "Readings of a region stayed out of sight until its first grade; who looked again may have seen "
            "them in between."
        )
    else:
        yield "Readings stayed out of sight until then."


def _viewings(case: Case, naming: Naming) -> Table:
    rows = tuple(
        (
            f"viewing {viewing.ordinal}{', set aside' * bool(viewing.aside)}",
            observer_words(case.session, viewing, naming),
            "full" if viewing.kind == "full" else "short, one grade a region",
            utc(viewing.started),
            f"{_graded(case, viewing)} of {sum(1 for region in case.sheet.regions if region.whole)}",
            f"session {viewing.reference}" if viewing.reference is not None else "none",
        )
        for viewing in case.session.viewings
    )
    columns = ("viewing", "observer", "kind", "begun", "regions graded", "print beside it")
    return Table(counted(len(rows), "Viewing").replace("1 Viewing", "One viewing"), columns, rows)


def _graded(case: Case, viewing: Viewing) -> int:
    return sum(
        1
        for region in case.sheet.regions
        if region.whole is not None and (region.id, region.whole.id) in viewing.answers
    )


def _surroundings(session: Session) -> Iterator[tuple[str, str]]:
    for item in _ABOUT_EYE:
        made = session.readiness.get(item)
        detail = detail_shown(made.detail) if made else ""
        mark = made.mark if made and made.mark else "open: nothing was said"
        yield _ABOUT_WORDS[item], f"{mark}, {detail}" if detail else mark


def faults_and_remarks(case: Case, region_id: str, naming: Naming) -> Iterator[tuple[str, str]]:
    """What was seen in a region besides grades, viewing by viewing: (who, what)."""
    for viewing in case.session.viewings:
        who = viewing_words(case.session, viewing, naming)
        seen = [
            folded(fault.name) + (f" ({folded(fault.where)})" if fault.where else "")
            for fault in viewing.faults
            if fault.region == region_id
        ]
        if seen:
            yield who, f"Seen: {listed(seen)}."
        if region_id in viewing.look_again:
            yield who, "Marked for a second look."
        if remark := viewing.remarks.get(region_id, ""):
            yield who, f"“{remark}”"
