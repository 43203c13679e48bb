"""What the viewings of a print answered in one region: what was not the best, and what changed."""

from collections.abc import Mapping, Sequence

from evaluation.judgement.opinion import Finding
from evaluation.plain_text import capital, listed
from evaluation.session import Cast, Count, Grade, Session, YesNo
from evaluation.sheet.layout import Question, SheetRegion
from evaluation.telling.answers import answer_words
from evaluation.telling.wording import folded


def seen(session: Session, region: SheetRegion | None, finding: Finding, most: int = 3) -> str:
    """Faults and the answers that were not the best, in the order of the questions."""
    told = []
    if finding.faults:
        told.append(f"Named: {listed(list(finding.faults))}.")
    if region is not None:
        for question in region.questions:
            if question.whole_region or len(told) >= most:
                continue
            given = _given(session, region.id, question)
            if any(not _best(value) for value in given.values()):
                told.append(f"{folded(question.ask)} {capital(_after(given))}.")
    return " ".join(told) or "No question of it was answered below 5."


def changed(session: Session, region: SheetRegion) -> str:
    """The answers that differ between viewings, and how."""
    told = []
    for question in region.questions:
        given = _given(session, region.id, question)
        if not question.whole_region and len(given) > 1 and len({*map(_words, given.values())}) > 1:
            told.append(f"{folded(question.ask)} {capital(_after(given))}.")
    return " ".join(told) or "All answers the same."


def changes_of(session: Session, regions: Sequence[SheetRegion]) -> tuple[int, int]:
    """How many answers behind the grades changed between viewings, of how many given more than once."""
    several = [
        {*map(_words, given.values())}
        for region in regions
        for question in region.questions
        if not question.whole_region and len(given := _given(session, region.id, question)) > 1
    ]
    return sum(len(each) > 1 for each in several), len(several)


def grade_in(session: Session, region: SheetRegion, ordinal: int) -> str:
    """The grade of a region in one viewing, as a digit; "–" without one."""
    whole = region.whole
    viewing = next(each for each in session.viewings if each.ordinal == ordinal)
    given = viewing.answers.get((region.id, whole.id)) if whole is not None else None
    return str(given.value.value) if given is not None and isinstance(given.value, Grade) else "–"


def _given(session: Session, region: str, question: Question) -> Mapping[int, object]:
    return {
        viewing.ordinal: answer.value
        for viewing in session.heard
        if (answer := viewing.answers.get((region, question.id))) is not None
    }


def _best(value: object) -> bool:
    match value:
        case Grade():
            return value.value == 5
        case Cast(parts=parts):
            return all(word == "none" for _, word, _ in parts)
        case YesNo() | Count():
            return True
    return _words(value) == "none"


def _words(value: object) -> str:
    return answer_words(value)  # type: ignore[arg-type]


def _after(given: Mapping[int, object]) -> str:
    """Answers in the order of the viewings: one where all are the same."""
    words = [_words(value) for value in given.values()]
    return (
        words[0] + (", in every viewing" if len(words) > 1 else "")
        if len({*words}) == 1
        else ", then ".join(words)
    )
