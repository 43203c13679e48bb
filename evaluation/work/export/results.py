"""Numbers, findings and verdicts of a session, from the kept weighing that is up to date."""

from collections.abc import Callable, Iterator
from typing import Any

from evaluation.archive import exported
from evaluation.archive.connection import Archive
from evaluation.archive.exported import Result, Stands
from evaluation.archive.moments import stamped
from evaluation.export.part import Part, of_rows
from evaluation.judgement import codec
from evaluation.judgement.opinion import Finding, Opinion, Weighing
from evaluation.metrics.evidence import Metric
from evaluation.session import Session

Text = Callable[[str | None], str | None]


def parts(archive: Archive, session: Session, stands: Stands, text: Text) -> Iterator[Part]:
    """The rows of its result; none where there is no result, or it was damaged."""
    result = stands.result
    found = None if result is None else _weighing(archive, session, result)
    if result is None or found is None:
        return
    metrics = [(finding.region, metric) for finding in found.findings for metric in finding.metrics]
    metrics += [("", metric) for metric in found.print_step]
    yield of_rows("metrics", [_metric(session.uid, region, metric, text) for region, metric in metrics])
    yield of_rows("findings", [_finding(session.uid, one, result, text) for one in found.findings])
    yield of_rows(
        "verdicts",
        [
            (
                session.uid,
                use,
                verdict.verdict,
                verdict.words,
                verdict.leading,
                verdict.share,
                [text(reason) for reason in verdict.reasons],
                text(verdict.would_decide),
                result.settings,
                stamped(result.at),
            )
            for use, verdict in found.verdicts.items()
        ],
    )


def _weighing(archive: Archive, session: Session, result: Result) -> Weighing | None:
    kept = exported.weighing(archive, session.id, result)
    try:
        return None if kept is None else codec.decoded(Weighing, kept)
    except ValueError:
        return None


def _metric(uid: str, region: str, metric: Metric, text: Text) -> tuple[Any, ...]:
    where = text(metric.where)
    return (
        uid,
        region,
        metric.name,
        metric.value,
        metric.unit,
        metric.spread,
        where,
        metric.patches,
        metric.comparison,
    )


def _finding(uid: str, found: Finding, result: Result, text: Text) -> tuple[Any, ...]:
    return (
        uid,
        found.region,
        text(found.title),
        found.kind,
        *_opinion(found.eye),
        found.viewings,
        *_opinion(found.instrument),
        *_opinion(found.combined),
        found.agreement,
        text(found.why),
        result.settings,
        stamped(result.at),
    )


def _opinion(opinion: Opinion | None) -> tuple[float | None, float | None]:
    return (None, None) if opinion is None else (opinion.grade, opinion.spread)
