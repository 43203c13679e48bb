"""Weigh: eye and instrument of a session, through the gate, and the document of `drydown weigh --json`."""

from typing import Any

from evaluation.archive import sessions
from evaluation.judgement import tables as judgement_tables
from evaluation.judgement import weigh as judgement
from evaluation.judgement.opinion import Cause, Finding, Opinion, Verdict, Weighing
from evaluation.judgement.tables import Tables
from evaluation.work import gate, read
from evaluation.work.bench import Bench, sheet_of


def tables(bench: Bench) -> Tables:
    """The tables in force: as shipped, with the user's settings laid over them."""
    return judgement_tables.load_tables(bench.settings_text, "weighing.toml")


def weigh(bench: Bench, session_id: int, *, reveal: bool = False) -> Weighing:
    """Weigh a session as it stands.

    Readings of regions the eye has not graded take no part: they are neither computed nor kept. With
    `reveal` they are shown after that has been recorded, which marks later grades of these regions.
    """
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    taken = read.taken_in(bench, session)
    if reveal and (hidden := read.waiting(session, sheet, taken)):
        session = read.reveal(bench, session_id, hidden).session
    return judgement.weigh(
        session,
        sheet,
        taken,
        tables(bench),
        looked=gate.open_regions(session, sheet),
        now=bench.now(),
    )


def document(weighing: Weighing) -> dict[str, Any]:
    """The weighing as plain JSON values; its shape is documented in the README and tested."""
    return {
        "session": weighing.session,
        "regions": [_finding(finding) for finding in weighing.findings],
        "verdicts": {use: _verdict(verdict) for use, verdict in weighing.verdicts.items()},
        "causes": [_cause(cause) for cause in weighing.causes],
        "caveats": list(weighing.caveats),
        "settings": weighing.settings_digest,
    }


def _finding(finding: Finding) -> dict[str, Any]:
    instrument: dict[str, Any] | None = None
    if finding.instrument is not None:
        instrument = _opinion(finding.instrument) | {
            "metrics": {metric.name: round(metric.value, 4) for metric in finding.metrics}
        }
    return {
        "id": finding.region,
        "title": finding.title,
        "eye": finding.eye and _opinion(finding.eye) | {"viewings": finding.viewings},
        "instrument": instrument,
        "agreement": finding.agreement,
        "combined": finding.combined and _opinion(finding.combined),
        "why": finding.why,
        "faults": list(finding.faults),
    }


def _opinion(opinion: Opinion) -> dict[str, Any]:
    return {"grade": round(opinion.grade, 2), "spread": round(opinion.spread, 2)}


def _verdict(verdict: Verdict) -> dict[str, Any]:
    return {
        "verdict": verdict.verdict,
        "reasons": list(verdict.reasons),
        "would_decide": verdict.would_decide,
    }


def _cause(cause: Cause) -> dict[str, Any]:
    return {
        "id": cause.id,
        "text": cause.text,
        "evidence_for": list(cause.evidence_for),
        "evidence_against": list(cause.evidence_against),
        "first_check": cause.first_check,
        "cost": cause.cost,
    }
