"""Own reference prints: which are kept, when they are due, and how steady each eye has been over them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from evaluation.archive import sessions
from evaluation.entry import Draft
from evaluation.errors import UsageProblem
from evaluation.judgement import eye
from evaluation.judgement.observers.drift import Drift, Item, course
from evaluation.judgement.several import limit
from evaluation.session import OWN_REFERENCE, Session, Viewing
from evaluation.sheet.layout import Sheet
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.log import refuse_read_only, say
from evaluation.work.references import due
from evaluation.work.references.due import OwnReference

UNCHANGED: Final = "Nothing was changed."


@dataclass(frozen=True, slots=True)
class Day:
    """What one observer graded on one day, against the first look at the same prints.

    drift  None where too few regions were graded both times
    """

    day: date
    observer: str
    prints: tuple[int, ...]
    drift: Drift | None


@dataclass(frozen=True, slots=True)
class References:
    """All of it. `due`: the one that was graded longest ago, where that is long enough ago."""

    kept: tuple[OwnReference, ...]
    days: tuple[Day, ...]
    due: OwnReference | None
    now: datetime


def keep(bench: Bench, ids: Sequence[int]) -> tuple[int, ...]:
    """Keep the prints of exactly these sessions; all or none. () keeps none any more.

    Raises UsageProblem for more than are worth keeping, and for a print that nobody has looked at.
    """
    refuse_read_only(bench)
    wanted = tuple(dict.fromkeys(ids))
    if len(wanted) > limit("references_most"):
        most = f"{limit('references_least'):.0f} to {limit('references_most'):.0f} prints"
        raise UsageProblem(UNCHANGED, expected=most, found=str(len(wanted)))
    with bench.archive.joined():
        for one in wanted:
            if not any(viewing.answers for viewing in sessions.load(bench.archive, one).viewings):
                raise UsageProblem(
                    UNCHANGED,
                    expected=f"session {one} to be graded first",
                    found="not looked at yet",
                )
        before = due.kept(bench)
        for one in (*before, *wanted):
            if (one in before) != (one in wanted):
                say(bench, one, [Draft("remark", OWN_REFERENCE, "kept" if one in wanted else None)])
    return wanted


def references(bench: Bench) -> References:
    """What is kept, what is due, and how steady each eye has been."""
    found = due.sessions_kept(bench)
    prints = due.prints(found)
    return References(prints, _days(bench, found), due.among(prints, bench.now()), bench.now())


def _days(bench: Bench, found: Sequence[Session]) -> tuple[Day, ...]:
    """Looks of one day at different prints go together; a second look at one of them is a look of its own."""
    looked = [(one, sheet_of(bench, one), viewing) for one in found for viewing in due.graded(one)]
    people: dict[str, list[tuple[date, dict[Item, float]]]] = {}
    for session, sheet, viewing in sorted(looked, key=lambda each: each[2].started):
        own, day = people.setdefault(viewing.observer, []), viewing.started.astimezone().date()
        grades = _grades(session, sheet, viewing)
        if own and own[-1][0] == day and not own[-1][1].keys() & grades.keys():
            own[-1][1].update(grades)
        else:
            own.append((day, grades))
    return tuple(
        Day(day, observer, tuple(dict.fromkeys(session for session, _ in grades)), drift)
        for observer, looks in people.items()
        for (day, grades), drift in zip(looks, course([each for _, each in looks]), strict=True)
    )


def _grades(session: Session, sheet: Sheet, viewing: Viewing) -> dict[Item, float]:
    """Whole regions; a grade after a reveal is none of the eye's own."""
    found = {}
    for region in sheet.regions:
        given = viewing.answers.get((region.id, region.whole.id)) if region.whole else None
        grade = None if given is None or given.after_reveal else eye.plain_grade(given.value)
        if grade is not None:
            found[session.id, region.id] = grade
    return found
