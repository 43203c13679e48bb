"""Profiling data that people already have: what it shows, settings side by side, the machine read again.

Patches printed unmanaged show the machine, the paper and the setting, never a picture, so no region waits
for them.
"""

from collections.abc import Sequence
from datetime import timedelta
from typing import Final

from evaluation.archive import runs, sessions
from evaluation.judgement.charts import Again, ChartPair, ChartsCompared, OfSession, Word
from evaluation.judgement.tables import Tables
from evaluation.published.limits import limit
from evaluation.readings.chart import best, chart_facts
from evaluation.readings.run import Run, when_measured
from evaluation.readings.run_comparison import RunComparison, compare_runs
from evaluation.work.bench import Bench
from evaluation.work.charts.kept import kept_beside, offered
from evaluation.work.take_in.profiling import of_a_profile

_ONE_SITTING: Final = timedelta(hours=limit("sitting_file"))  # to measure a chart in


def of_session(bench: Bench, session_id: int, tables: Tables) -> OfSession:
    """What the profiling data of a session shows. Raises FileProblem for colours that cannot be used."""
    session = sessions.load(bench.archive, session_id)
    sets = _sets([run for run in runs.of_session(bench.archive, session_id) if of_a_profile(run)])
    first = max(sets, key=lambda each: (len(_keys(each)), -when_measured(each[0])), default=None)
    again, others = [], []
    for each in sets:
        if first is None or each is first:
            continue
        compared = _compared(first, each, tables)
        if compared is not None and when_measured(each[0]) >= when_measured(first[0]):
            again.append(Again(each[0], compared))
        else:
            others.append(each[0].source_name)
    return OfSession(
        session,
        chart_facts(first) if first is not None else None,
        tuple(sorted(again, key=lambda each: when_measured(each.run))),
        tuple(others),
        offered(bench, session),
    )


def side_by_side(bench: Bench, session_id: int, tables: Tables) -> tuple[OfSession, ...]:
    """A session, then those whose own profiling data are of the same printer and paper, newest first."""
    found = [of_session(bench, session_id, tables)]
    shown = {each.chart.run.source_digest for each in found if each.chart is not None}
    for other in kept_beside(bench, found[0].session):
        beside = of_session(bench, other, tables)
        if beside.chart is not None and beside.chart.run.source_digest not in shown:
            shown.add(beside.chart.run.source_digest)
            found.append(beside)
    return tuple(found)


def between(bench: Bench, found: Sequence[OfSession], tables: Tables) -> tuple[ChartPair, ...]:
    """Each chart held against that of the first session that has one."""
    with_chart = [each for each in found if each.chart is not None]
    return tuple(
        ChartPair(first.session.id, each.session.id, _compared(_of(bench, first), _of(bench, each), tables))
        for first, each in zip(with_chart[:1] * len(with_chart[1:]), with_chart[1:], strict=True)
    )


def _of(bench: Bench, found: OfSession) -> list[Run]:
    assert found.chart is not None
    every = [run for run in runs.of_session(bench.archive, found.session.id) if of_a_profile(run)]
    return next(each for each in _sets(every) if any(run.id == found.chart.run.id for run in each))


def _sets(found: Sequence[Run]) -> list[list[Run]]:
    """Runs by the file they came from; files of one chart under one measurement condition each are one set.

    Programs write M0, M1 and M2 of one reading into files of their own as often as into one.
    """
    files: dict[object, list[Run]] = {}
    for run in found:
        files.setdefault(run.source_digest or run.id, []).append(run)
    sets: list[list[Run]] = []
    for file in files.values():
        home = next((each for each in sets if _read_together(each, file)), None)
        if home is None:
            sets.append(file)
        else:
            home.extend(file)
    return sets


def _read_together(one: Sequence[Run], other: Sequence[Run]) -> bool:
    """Whether runs are of one chart and one sitting, or undated, no condition of which is in both."""
    conditions = [{run.stated.condition for run in each} for each in (one, other)]
    if None in conditions[0] | conditions[1] or conditions[0] & conditions[1]:
        return False
    first, second = one[0].stated.measured_at, other[0].stated.measured_at
    if first is None or second is None:
        return first is second and _keys(one) == _keys(other)
    return abs(first - second) <= _ONE_SITTING and _keys(one) == _keys(other)


def _keys(found: Sequence[Run]) -> set[bytes]:
    run = best(found)
    assert run is not None and run.device is not None
    return {row.tobytes() for row in run.device.round(4)}


def _compared(first: Sequence[Run], second: Sequence[Run], tables: Tables) -> ChartsCompared | None:
    """Under the best measurement condition that both have."""
    shared = {run.stated.condition for run in first} & {run.stated.condition for run in second}
    pair = [best([run for run in each if run.stated.condition in shared]) for each in (first, second)]
    if pair[0] is None or pair[1] is None:
        return None
    found = compare_runs(pair[0], pair[1])
    if found is None or found.joined_by != "device values":
        return None
    within = found.mean <= tables["sheet_mean"]
    return ChartsCompared(found, pair[0].stated.condition or "not stated", _word(found, tables), within)


def _word(found: RunComparison, tables: Tables) -> Word:
    """As Compare has it: beyond repeats is measured, beyond the grade 4 of a whole sheet is large."""
    if found.apart is False or (found.apart is None and found.mean <= tables["sheet_mean"]):
        return "alike"
    return "large" if found.mean > tables.anchors["print_mean"].at[1] else "measured"
