"""A weighing as plain JSON values: the document of `drydown weigh --json`, rounded."""

from typing import Any

from evaluation.judgement.opinion import Cause, Finding, Opinion, Verdict, Weighing
from evaluation.metrics.stages import PaperChange, Stage
from evaluation.profile.fit import Fit


def deciding(weighing: Weighing) -> Finding | None:
    """The region graded worst of those whose way from file to print is known; None where none is."""
    known = [(grade, found) for found in weighing.findings if found.steps and (grade := _grade(found))]
    return min(known, key=lambda pair: pair[0])[1] if known else None


def _grade(finding: Finding) -> float | None:
    opinion = finding.combined or finding.eye or finding.instrument
    return opinion.grade if opinion else None


def document(weighing: Weighing, since: str = "") -> dict[str, Any]:
    """The weighing as plain JSON values, rounded; its shape is documented in the README and tested.

    `since` is what `published.since` says of it: the first of the caveats.
    """
    return {
        "session": weighing.session,
        "regions": [_finding(finding) for finding in weighing.findings],
        "verdicts": {use: _verdict(verdict) for use, verdict in weighing.verdicts.items()},
        "causes": [_cause(cause) for cause in weighing.causes],
        "paper": weighing.paper and _paper(weighing.paper),
        "profile_fit": weighing.fit and _fit(weighing.fit),
        "print_step": {metric.name: round(metric.value, 3) for metric in weighing.print_step} or None,
        "caveats": [since, *weighing.caveats] if since else list(weighing.caveats),
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
        "steps": [_step(step) for step in finding.steps],
    }


def _step(step: Stage) -> dict[str, Any]:
    return {
        "step": step.name,
        "vector": [round(value, 3) for value in step.vector],
        "de00": step.de00 and round(step.de00, 3),
        "patches": step.patches,
        "counted": step.counted,
    }


def _fit(fit: Fit) -> dict[str, Any]:
    return {
        "median": round(fit.median, 3),
        "p95": round(fit.p95, 3),
        "patches": fit.patches,
        "parts": [
            {
                "part": one.part,
                "median": round(one.median, 3),
                "p95": round(one.p95, 3),
                "patches": one.patches,
            }
            for one in fit.parts
        ],
    }


def _paper(paper: PaperChange) -> dict[str, Any]:
    return {
        "profile": [round(value, 2) for value in paper.profile],
        "measured": [round(value, 2) for value in paper.measured],
        "de00": round(paper.de00, 3),
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
