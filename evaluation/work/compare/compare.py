"""Compare: prints as columns, regions as rows, what differs in words. Plain values, through the gate.

What was weighed and compared before is taken from the archive (`at_once`); what is missing is worked out with
progress and can be stopped (`worked_out`), and what was done until then is kept.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence, Sized
from dataclasses import replace
from typing import Final, TypeVar

from evaluation.errors import DrydownError, UsageProblem
from evaluation.judgement.beside.result import InRegion
from evaluation.judgement.matrix import (
    ComparedSession,
    Differences,
    Matrix,
    Pair,
    PrintColumn,
    RegionRow,
    Value,
    pair,
)
from evaluation.judgement.observers.in_common import in_common
from evaluation.judgement.opinion import Finding
from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Metric
from evaluation.readings.age import age
from evaluation.session import Session, Use
from evaluation.sheet.layout import Sheet
from evaluation.telling import observers
from evaluation.telling.side_by_side import in_rounds_with
from evaluation.work.bench import Bench
from evaluation.work.compare import pairs
from evaluation.work.compare.subjects import subject_of, weighed_as
from evaluation.work.compare.workers import Hands
from evaluation.work.sidebyside import sidebyside
from evaluation.work.sidebyside.document import of_region, of_triangles
from evaluation.work.weigh import weigh
from evaluation.work.weigh.inputs import inputs_of

Tell = Callable[[str], None]
Counted = Callable[[int, int], None]  # done, in all; told before `Tell` says what comes
Stopped = Callable[[], bool]
T = TypeVar("T")

FEWEST: Final = 2
MOST: Final = 30
NOT_COMPARED: Final = "Nothing was compared."


class Stop(DrydownError):
    """The user stopped the work; what was finished until then is kept."""


def at_once(bench: Bench, session_ids: Sequence[int], base: int | None = None) -> Matrix:
    """The matrix from stored results alone; what is not stored is named in `unweighed` and `missing`.

    Raises UsageProblem for fewer than two or more than thirty sessions, or a base that is none of them.
    """
    ids, base = _asked(session_ids, base)
    in_force = weigh.tables(bench)
    rests_on = inputs_of(bench, in_force)
    subjects = tuple(subject_of(bench, session_id, rests_on) for session_id in ids)
    known = pairs.stored(bench, subjects, in_force)
    return replace(assembled(subjects, base, known, in_force), beside=_beside(bench, ids))


def worked_out(
    bench: Bench,
    session_ids: Sequence[int],
    base: int | None = None,
    *,
    every_pair: bool = False,
    tell: Tell = lambda words: None,
    counted: Counted = lambda done, parts: None,
    stopped: Stopped = lambda: False,
) -> Matrix:
    """The matrix with everything it needs: weighed where that was missing, each print against the base.

    `every_pair` compares all with all, which groups rest on. Raises Stop when `stopped` says so, beside the
    problems of `at_once`; each weighing and each comparison is kept as soon as it is made.
    """
    ids, base = _asked(session_ids, base)
    in_force = weigh.tables(bench)
    rests_on = inputs_of(bench, in_force)
    found = {one: subject_of(bench, one, rests_on) for one in ids}
    unweighed = [one for one, subject in found.items() if subject.weighing is None]
    wanted = [pair(a, b) for k, a in enumerate(ids) for b in ids[k + 1 :] if every_pair or base in (a, b)]
    known = pairs.stored(bench, tuple(found.values()), in_force)
    todo = [each for each in wanted if each not in known]

    def go_on() -> None:
        if stopped():
            raise Stop("Stopped. What was worked out until then is kept.")

    def told(tasks: Sequence[T], done: Sized, words: Callable[[T], str]) -> Iterator[T]:
        """The tasks one by one, as they are begun."""
        for place, task in enumerate(tasks, 1):
            go_on()
            counted(len(done), len(tasks))
            tell(f"{words(task)}, {place} of {len(tasks)}. Esc stops; what is done is kept.")
            yield task

    with Hands(bench, in_force, len(unweighed) + len(todo)) as hands:
        weighed: set[int] = set()
        begun = told(unweighed, weighed, lambda one: f"Weighing session {one}")
        for one, weighing in hands.weighings(begun, go_on):
            found[one] = weighed_as(bench, found[one], weighing, rests_on)
            weighed.add(one)
        subjects = tuple(found.values())
        known = pairs.stored(bench, subjects, in_force)
        todo = [each for each in wanted if each not in known]
        compared: set[Pair] = set()
        begun_pairs = told(todo, compared, lambda each: f"Comparing {each[0]} and {each[1]}")
        for each, differences in hands.comparisons(begun_pairs, subjects, go_on):
            known[each] = differences
            compared.add(each)
    return replace(assembled(subjects, base, known, in_force), beside=_beside(bench, ids))


def assembled(subjects: Sequence[ComparedSession], base: int, known: Differences, in_force: Tables) -> Matrix:
    """The matrix of these sessions, of what is known of them."""
    ids = [subject.session.id for subject in subjects]
    rows: dict[str, RegionRow] = {}
    numbers = _numbers([subject.sheet for subject in subjects])
    for subject in sorted(subjects, key=lambda subject: subject.session.id != base):
        for region in subject.sheet.regions:
            rows.setdefault(
                region.id, RegionRow(region.id, region.title, region.kind, numbers.get(region.id))
            )
    shown = set.intersection(*({region.kind for region in one.sheet.regions} for one in subjects))
    return Matrix(
        base=base,
        rows=tuple(rows.values()),
        columns=tuple(_column(subject) for subject in subjects),
        differences=dict(known),
        weights={use: row.on(shown) for use, row in in_force.uses.items()},
        coverage=in_force["coverage"],
        caveats=(*pairs.caveats(subjects, in_force), *_seen_by(subjects, base)),
        unweighed=tuple(subject.session.id for subject in subjects if subject.weighing is None),
        missing=tuple(
            each
            for k, a in enumerate(ids)
            for b in ids[k + 1 :]
            if base in (a, b) and (each := pair(a, b)) not in known
        ),
    )


def _numbers(sheets: Sequence[Sheet]) -> dict[str, int]:
    """Region id -> its number, where all sheets mean the same region by it: a colour and a black-and-white
    sheet each begin with a 1 of their own.
    """
    printed = {(region.id, region.number) for sheet in sheets for region in sheet.regions}
    ids = Counter(id for id, _ in printed)
    meant = Counter(number for _, number in printed)
    return {id: number for id, number in printed if number is not None and ids[id] == meant[number] == 1}


def _seen_by(subjects: Sequence[ComparedSession], base: int) -> tuple[str, ...]:
    """Whose eyes the base and the other prints have in common, where that is not all of them."""
    looked = {
        one.session.id: frozenset(viewing.observer for viewing in one.session.heard if viewing.answers)
        for one in subjects
    }
    return observers.in_common(in_common(base, looked))


def _beside(bench: Bench, ids: Sequence[int]) -> tuple[str, ...]:
    """What rounds of these prints came to, in words, and what triangles did."""
    regions, triangles = beside(bench, ids)
    return (*(line for one in regions for line in of_region(one)), *triangles)


def beside(bench: Bench, ids: Sequence[int]) -> tuple[tuple[InRegion, ...], list[str]]:
    """What rounds of these prints came to, region by region, those in which others lay as well behind them;
    and sentences on triangles.
    """
    found = sidebyside.result(bench, ids)
    return (*found.regions, *map(_with_others, sidebyside.wider(bench, ids))), of_triangles(found)


def _with_others(region: InRegion) -> InRegion:
    shown = {region.prints[place] for one in region.apart for place in (one.first, one.second)}
    return replace(
        region, title=in_rounds_with(region.title, [one for one in region.prints if one not in shown])
    )


def use_of(matrix: Matrix) -> Use:
    """The use that most of these prints are made for; general where they part."""
    made = [column.condition.made_for or "general" for column in matrix.columns]
    return made[0] if len(set(made)) == 1 else "general"


def _asked(session_ids: Sequence[int], base: int | None) -> tuple[tuple[int, ...], int]:
    ids = tuple(dict.fromkeys(session_ids))
    if not FEWEST <= len(ids) <= MOST:
        raise UsageProblem(
            NOT_COMPARED,
            expected=f"{FEWEST} to {MOST} different sessions",
            found=str(len(ids)),
            remedy="`drydown list` shows them with their numbers.",
        )
    if base is not None and base not in ids:
        raise UsageProblem(
            NOT_COMPARED,
            expected=f"a base among the sessions compared ({', '.join(map(str, ids))})",
            found=str(base),
        )
    return ids, ids[0] if base is None else base


def _column(subject: ComparedSession) -> PrintColumn:
    session, weighing = subject.session, subject.weighing
    found = pairs.findings(subject)
    skins = _skins(found.values())
    verdicts = {} if weighing is None else weighing.verdicts
    return PrintColumn(
        session=session.id,
        condition=session.condition,
        values={
            region: _value(finding) if region in subject.open else Value(None, None, None, "not graded yet")
            for region, finding in found.items()
        },
        verdicts={use: verdict.verdict for use, verdict in verdicts.items()},
        hours=_hours(session),
        skins=None if skins is None else skins.value,
        skins_spread=None if skins is None else skins.spread,
        beside=frozenset(one.reference for one in session.heard if one.reference is not None),
    )


def _skins(findings: Iterable[Finding]) -> Metric | None:
    """What skins move beyond real skin; None where there are none, or they may not be shown."""
    metrics = (metric for finding in findings for metric in finding.metrics)
    return next((metric for metric in metrics if metric.name == "skin_light_excess"), None)


def _value(finding: Finding) -> Value:
    if finding.agreement == "disagree":
        return Value(None, None, None, "disagree")
    combined, eye, instrument = (
        None if opinion is None else opinion.grade
        for opinion in (finding.combined, finding.eye, finding.instrument)
    )
    return Value(combined, eye, instrument, finding.agreement)


def _hours(session: Session) -> float | None:
    printed = session.condition.printed_at
    if printed is None or not session.heard:
        return None
    met = age(printed, session.heard[-1].started)
    return None if met is None else met.hours
