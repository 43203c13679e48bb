"""Weigh: eye and instrument of a session, through the gate, and the document of `drydown weigh --json`."""

import json
from dataclasses import replace
from typing import Any

from evaluation.archive import documents, habits, sessions, weighings
from evaluation.judgement import tables as judgement_tables
from evaluation.judgement import weigh as judgement
from evaluation.judgement.opinion import Cause, Finding, Opinion, Verdict, Weighing
from evaluation.judgement.own_anchor import OwnAnchor, own_anchor, with_own_anchor
from evaluation.judgement.own_anchor import caveat as own_anchor_caveat
from evaluation.judgement.tables import Tables
from evaluation.metrics.stages import PaperChange, Stage
from evaluation.profile.fit import Fit
from evaluation.session import Session
from evaluation.work import gate, read, whitener
from evaluation.work.aims import aims_of
from evaluation.work.bench import Bench, drydown_version, sheet_of
from evaluation.work.home import SETTINGS_HABIT
from evaluation.work.profiling import Profiling, profiling


def tables(bench: Bench) -> Tables:
    """The tables in force: as shipped, with the user's settings laid over them."""
    return judgement_tables.load_tables(bench.settings_text, "weighing.toml")


def weigh(bench: Bench, session_id: int, *, reveal: bool = False) -> Weighing:
    """Weigh a session as it stands, and keep the result for lists.

    Readings of regions the eye has not graded take no part: they are neither computed nor kept. With
    `reveal` they are shown after that has been recorded, which marks later grades of these regions.
    """
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    taken = read.taken_in(bench, session)
    if reveal and (hidden := read.waiting(session, sheet, taken)):
        session = read.reveal(bench, session_id, hidden).session
    in_force = tables(bench)
    fitted = _own_anchor(bench, session, in_force)
    aims = aims_of(bench, session, in_force)
    own = Profiling() if aims.expected is None else profiling(aims.expected.profile, taken)
    weighing = judgement.weigh(
        session,
        sheet,
        taken,
        with_own_anchor(in_force, fitted),
        now=bench.now(),
        looked=gate.open_regions(session, sheet),
        expected=aims.expected,
        earlier_black=aims.earlier_black,
        tone=aims.tone,
        profile=own.facts,
    )
    of_the_eye = () if fitted is None else (own_anchor_caveat(fitted),)
    yellower = whitener.caution(bench, session, sheet, taken, own.facts.condition, in_force)
    caveats = (
        *yellower,
        *aims.caveats,
        *own.caveats,
        *weighing.caveats,
        *of_the_eye,
    )
    weighing = replace(weighing, fit=own.fit, caveats=caveats)
    if not bench.archive.read_only:
        _keep(bench, weighing, in_force)
    return weighing


def deciding(weighing: Weighing) -> Finding | None:
    """The region graded worst of those whose way from file to print is known; None where none is."""
    known = [(grade, found) for found in weighing.findings if found.steps and (grade := _grade(found))]
    return min(known, key=lambda pair: pair[0])[1] if known else None


def _grade(finding: Finding) -> float | None:
    opinion = finding.combined or finding.eye or finding.instrument
    return opinion.grade if opinion else None


def _own_anchor(bench: Bench, session: Session, in_force: Tables) -> OwnAnchor | None:
    """How well the anchors fit the eye that looked at this session, where one alone did."""
    observers = {viewing.observer for viewing in session.viewings}
    if len(observers) != 1:
        return None
    results = weighings.of_observer(bench.archive, observers.pop(), in_force.digest, but=session.id)
    return own_anchor((json.loads(result) for result in results), in_force)


def _keep(bench: Bench, weighing: Weighing, in_force: Tables) -> None:
    """Remember the result beside the session, so that Home and Compare need not weigh again."""
    text = judgement_tables.canonical(in_force)
    with bench.archive.joined():
        digest = documents.keep(bench.archive, "settings", "tables of the weighing", text.encode())
        if habits.recall(bench.archive, SETTINGS_HABIT) != digest:
            habits.remember(bench.archive, SETTINGS_HABIT, digest)
        weighings.put(
            bench.archive,
            weighing.session,
            digest,
            revision=weighing.revision,
            engine=drydown_version(),
            now=bench.now(),
            result=json.dumps(document(weighing)),
            verdicts={use: verdict.verdict for use, verdict in weighing.verdicts.items()},
            disagree=sum(finding.agreement == "disagree" for finding in weighing.findings),
        )


def document(weighing: Weighing) -> dict[str, Any]:
    """The weighing as plain JSON values; its shape is documented in the README and tested."""
    return {
        "session": weighing.session,
        "regions": [_finding(finding) for finding in weighing.findings],
        "verdicts": {use: _verdict(verdict) for use, verdict in weighing.verdicts.items()},
        "causes": [_cause(cause) for cause in weighing.causes],
        "paper": weighing.paper and _paper(weighing.paper),
        "profile_fit": weighing.fit and _fit(weighing.fit),
        "print_step": {metric.name: round(metric.value, 3) for metric in weighing.print_step} or None,
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
