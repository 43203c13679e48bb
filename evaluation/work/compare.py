"""Compare: prints as columns, regions as rows, what differs in words. Plain values, through the gate.

What was weighed and compared before is taken from the archive (`at_once`); what is missing is worked out with
progress and can be stopped (`worked_out`), and what was done until then is kept.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from evaluation.archive import documents, sessions, weighings
from evaluation.errors import DrydownError, UsageProblem
from evaluation.judgement import tables as judgement_tables
from evaluation.judgement.tables import Tables
from evaluation.readings.age import age
from evaluation.session import Session, Use
from evaluation.work import compare_pairs, gate, weigh
from evaluation.work.aims import leans_on_another
from evaluation.work.bench import Bench, drydown_version, sheet_of
from evaluation.work.compare_matrix import Column, Differences, Matrix, Row, Subject, Value, pair

Tell = Callable[[str], None]
Stopped = Callable[[], bool]

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
    settings, version = settings_digest(in_force), drydown_version()
    subjects = tuple(_subject(bench, session_id, settings, version) for session_id in ids)
    known = compare_pairs.stored(bench, subjects, settings)
    return assembled(subjects, base, known, in_force)


def worked_out(
    bench: Bench,
    session_ids: Sequence[int],
    base: int | None = None,
    *,
    every_pair: bool = False,
    tell: Tell = lambda words: None,
    stopped: Stopped = lambda: False,
) -> Matrix:
    """The matrix with everything it needs: weighed where that was missing, each print against the base.

    `every_pair` compares all with all, which groups rest on. Raises Stop when `stopped` says so, beside the
    problems of `at_once`; each weighing and each comparison is kept as soon as it is made.
    """
    ids, base = _asked(session_ids, base)
    in_force = weigh.tables(bench)
    settings, version = settings_digest(in_force), drydown_version()
    subjects = []
    for place, session_id in enumerate(ids, 1):
        subject = _subject(bench, session_id, settings, version)
        if subject.document is None:
            _go_on(stopped)
            tell(f"Weighing session {session_id}, {place} of {len(ids)}. Esc stops; what is done is kept.")
            subject = _weighed(bench, subject)
        subjects.append(subject)
    known = compare_pairs.stored(bench, subjects, settings)
    wanted = [pair(a, b) for k, a in enumerate(ids) for b in ids[k + 1 :] if every_pair or base in (a, b)]
    bringer = compare_pairs.Bringer(bench, subjects, in_force, settings)
    todo = [each for each in wanted if each not in known]
    for place, each in enumerate(todo, 1):
        _go_on(stopped)
        tell(f"Comparing {each[0]} and {each[1]}, {place} of {len(todo)}. Esc stops; what is done is kept.")
        known[each] = bringer.compared(each)
    return assembled(subjects, base, known, in_force)


def assembled(subjects: Sequence[Subject], base: int, known: Differences, in_force: Tables) -> Matrix:
    """The matrix of these sessions, of what is known of them."""
    ids = [subject.session.id for subject in subjects]
    rows: dict[str, Row] = {}
    for subject in sorted(subjects, key=lambda subject: subject.session.id != base):
        for region in subject.sheet.regions:
            rows.setdefault(region.id, Row(region.id, region.title, region.kind, region.number))
    return Matrix(
        base=base,
        rows=tuple(rows.values()),
        columns=tuple(_column(subject) for subject in subjects),
        differences=dict(known),
        weights={use: row.weights for use, row in in_force.uses.items()},
        caveats=compare_pairs.caveats(subjects, in_force),
        unweighed=tuple(subject.session.id for subject in subjects if subject.document is None),
        missing=tuple(
            each
            for k, a in enumerate(ids)
            for b in ids[k + 1 :]
            if base in (a, b) and (each := pair(a, b)) not in known
        ),
    )


def settings_digest(in_force: Tables) -> str:
    """Under which digest the tables in force are kept, and results with them."""
    return documents.digest_of(judgement_tables.canonical(in_force).encode())


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


def _subject(bench: Bench, session_id: int, settings: str, version: str) -> Subject:
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    stored = weighings.get(bench.archive, session_id, settings)
    fresh = stored is not None and not stored.stale and stored.engine == version
    fresh = fresh and not leans_on_another(bench, session)
    document = json.loads(stored.result) if stored is not None and fresh else None
    return Subject(session, sheet, document, gate.open_regions(session, sheet))


def _weighed(bench: Bench, subject: Subject) -> Subject:
    weighing = weigh.weigh(bench, subject.session.id)
    return Subject(subject.session, subject.sheet, weigh.document(weighing), subject.open)


def _column(subject: Subject) -> Column:
    session = subject.session
    found = {} if subject.document is None else {row["id"]: row for row in subject.document["regions"]}
    verdicts = {} if subject.document is None else subject.document["verdicts"]
    return Column(
        session=session.id,
        condition=session.condition,
        values={
            region_id: _value(row) if region_id in subject.open else Value(None, None, None, "not looked")
            for region_id, row in found.items()
        },
        verdicts={use: verdict["verdict"] for use, verdict in verdicts.items()},
        hours=_hours(session),
        skins=next(filter(None, map(_skins, found.values())), None),
        beside=frozenset(one.reference for one in session.viewings if one.reference is not None),
    )


def _skins(row: Mapping[str, Any]) -> float | None:
    found = (row["instrument"] or {}).get("metrics", {}).get("skin_light_excess")
    return None if found is None else float(found)


def _value(row: Mapping[str, Any]) -> Value:
    if row["agreement"] == "disagree":
        return Value(None, None, None, "disagree")
    combined, eye, instrument = (
        None if row[name] is None else float(row[name]["grade"]) for name in ("combined", "eye", "instrument")
    )
    return Value(combined, eye, instrument, row["agreement"])


def _hours(session: Session) -> float | None:
    printed, viewing = session.condition.printed_at, session.viewing
    if printed is None or viewing is None:
        return None
    met = age(printed, viewing.started)
    return None if met is None else met.hours


def _go_on(stopped: Stopped) -> None:
    if stopped():
        raise Stop("Stopped. What was worked out until then is kept.")
