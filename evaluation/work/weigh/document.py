"""A weighing as plain JSON values: the document of `drydown weigh --json`, rounded."""

from evaluation.documents import weighing as shape
from evaluation.judgement.opinion import Cause, Finding, Opinion, Verdict, Weighing
from evaluation.metrics.stages import PaperChange, Stage, Triple
from evaluation.profile.fit import Fit


def deciding(weighing: Weighing) -> Finding | None:
    """The region graded worst of those whose way from file to print is known; None without one."""
    known = [(grade, found) for found in weighing.findings if found.steps and (grade := _grade(found))]
    return min(known, key=lambda pair: pair[0])[1] if known else None


def _grade(finding: Finding) -> float | None:
    opinion = finding.combined or finding.eye or finding.instrument
    return opinion.grade if opinion else None


def document(weighing: Weighing, since: str = "") -> shape.Weighing:
    """The weighing as plain JSON values, rounded.

    `since` is what `published.since` says of it: the first of the caveats.
    """
    return {
        "session": weighing.session,
        "regions": [_finding(finding) for finding in weighing.findings],
        "verdicts": {use: _verdict(verdict) for use, verdict in weighing.verdicts.items()},
        "causes": [_cause(cause) for cause in weighing.causes],
        "paper": None if weighing.paper is None else _paper(weighing.paper),
        "profile_fit": None if weighing.fit is None else _fit(weighing.fit),
        "print_step": {metric.name: round(metric.value, 3) for metric in weighing.print_step} or None,
        "caveats": [since, *weighing.caveats] if since else list(weighing.caveats),
        "settings": weighing.settings_digest,
    }


def _finding(finding: Finding) -> shape.Finding:
    eye: shape.EyeOpinion | None = None
    if finding.eye is not None:
        eye = {**_opinion(finding.eye), "viewings": finding.viewings}
    instrument: shape.InstrumentOpinion | None = None
    if finding.instrument is not None:
        metrics = {metric.name: round(metric.value, 4) for metric in finding.metrics}
        instrument = {**_opinion(finding.instrument), "metrics": metrics}
    return {
        "id": finding.region,
        "title": finding.title,
        "eye": eye,
        "instrument": instrument,
        "agreement": finding.agreement,
        "combined": None if finding.combined is None else _opinion(finding.combined),
        "why": finding.why,
        "faults": list(finding.faults),
        "steps": [_step(step) for step in finding.steps],
    }


def _step(step: Stage) -> shape.Stage:
    return {
        "step": step.name,
        "vector": _rounded(step.vector, 3),
        "de00": step.de00 and round(step.de00, 3),
        "patches": step.patches,
        "counted": step.counted,
    }


def _fit(fit: Fit) -> shape.Fit:
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


def _paper(paper: PaperChange) -> shape.Paper:
    return {
        "profile": _rounded(paper.profile, 2),
        "measured": _rounded(paper.measured, 2),
        "de00": round(paper.de00, 3),
    }


def _rounded(values: Triple, digits: int) -> Triple:
    one, two, three = (round(value, digits) for value in values)
    return one, two, three


def _opinion(opinion: Opinion) -> shape.Opinion:
    return {"grade": round(opinion.grade, 2), "spread": round(opinion.spread, 2)}


def _verdict(verdict: Verdict) -> shape.Verdict:
    return {
        "verdict": verdict.verdict,
        "told": verdict.words,
        "leading": verdict.leading,
        "share": None if verdict.share is None else round(verdict.share, 3),
        "reasons": list(verdict.reasons),
        "would_decide": verdict.would_decide,
    }


def _cause(cause: Cause) -> shape.Cause:
    return {
        "id": cause.id,
        "text": cause.text,
        "evidence_for": list(cause.evidence_for),
        "evidence_against": list(cause.evidence_against),
        "first_check": cause.first_check,
        "cost": cause.cost,
    }
