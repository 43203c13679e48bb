"""Weigh: eye and instrument of a session, through the gate, and the document of `drydown weigh --json`."""

from dataclasses import replace

from evaluation.archive import documents, sessions, weighings
from evaluation.documents import weighing as shape
from evaluation.judgement import codec
from evaluation.judgement import tables as judgement_tables
from evaluation.judgement import weigh as judgement
from evaluation.judgement.opinion import Cause, Finding, Inputs, Opinion, Verdict, Weighing
from evaluation.judgement.tables import Tables
from evaluation.metrics.stages import PaperChange, Stage, Triple
from evaluation.profile.fit import Fit
from evaluation.session import Session
from evaluation.work import gate, home
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.neutrality.lamps import kept, second_light
from evaluation.work.take_in import read
from evaluation.work.take_in.profiling import Profiling, profiling
from evaluation.work.weigh import whitener
from evaluation.work.weigh.aims import aims_of
from evaluation.work.weigh.inputs import inputs_of


def tables(bench: Bench) -> Tables:
    """The tables in force: as shipped, with the user's settings laid over them."""
    return judgement_tables.load_tables(bench.settings_text, "weighing.toml")


def weigh(bench: Bench, session_id: int, *, reveal: bool = False) -> Weighing:
    """The weighing of a session as it stands: the one that is kept of these inputs, else worked out and kept.

    Readings of regions the eye has not graded take no part: they are neither computed nor kept. With
    `reveal` they are shown after that has been recorded, which marks later grades of these regions.
    """
    if reveal:
        session = sessions.load(bench.archive, session_id)
        if hidden := read.waiting(session, sheet_of(bench, session), read.taken_in(bench, session)):
            read.reveal(bench, session_id, hidden)
    return _of_session(bench, session_id, tables(bench), keep=True)


def stored(bench: Bench, inputs: Inputs, session_id: int) -> Weighing | None:
    """The kept weighing that rests on exactly these inputs; None where there is none, or it is damaged."""
    text = weighings.get(bench.archive, session_id, inputs.settings, inputs.digest)
    try:
        return None if text is None else codec.decoded(Weighing, text)
    except ValueError:
        return None


def verdict_of(bench: Bench, session: Session, in_force: Tables) -> str:
    """The word for what a session's print is made for; while others are being read nothing is kept."""
    keep = not bench.archive.connection.in_transaction
    weighing = _of_session(bench, session.id, in_force, keep=keep)
    return weighing.verdicts[session.condition.made_for or "general"].verdict


def _of_session(bench: Bench, session_id: int, in_force: Tables, *, keep: bool) -> Weighing:
    with bench.archive.snapshot():  # inputs and result are of one state, whatever others write meanwhile
        session = sessions.load(bench.archive, session_id)
        inputs = inputs_of(bench, in_force)(session)
        found = stored(bench, inputs, session_id)
        weighing = found or _worked_out(bench, session, in_force, inputs)
    if keep and not bench.archive.read_only:
        if found is None:
            _keep(bench, weighing, in_force)
        home.remember_settings(bench, in_force.digest)
    return weighing


def _worked_out(bench: Bench, session: Session, in_force: Tables, inputs: Inputs) -> Weighing:
    sheet = sheet_of(bench, session)
    taken = read.taken_in(bench, session)
    aims = aims_of(bench, session, in_force)
    own = Profiling() if aims.expected is None else profiling(aims.expected.profile, taken)
    weighing = judgement.weigh(
        session,
        sheet,
        taken,
        in_force,
        looked=gate.open_regions(session, sheet),
        expected=aims.expected,
        earlier_black=aims.earlier_black,
        tone=aims.tone,
        profile=own.facts,
    )
    light = second_light(session, lambda: kept(bench))
    yellower = whitener.caution(session, sheet, taken, own.facts.condition, light, in_force)
    caveats = (*yellower, *aims.caveats, *own.caveats, *weighing.caveats)
    return replace(weighing, inputs=inputs, fit=own.fit, caveats=caveats)


def _keep(bench: Bench, weighing: Weighing, in_force: Tables) -> None:
    """Remember the result beside the session: whoever asks for it next finds the same one."""
    text, inputs = judgement_tables.canonical(in_force), weighing.inputs
    with bench.archive.joined():
        documents.keep(bench.archive, "settings", "tables of the weighing", text.encode())
        weighings.put(
            bench.archive,
            weighing.session,
            inputs.settings,
            inputs=inputs.digest,
            rules=inputs.rules,
            revision=weighing.revision,
            named=[(one.session, one.revision, one.removed) for one in inputs.named],
            now=bench.now(),
            result=codec.encoded(weighing),
            verdicts={use: verdict.verdict for use, verdict in weighing.verdicts.items()},
            disagree=sum(finding.agreement == "disagree" for finding in weighing.findings),
        )


def deciding(weighing: Weighing) -> Finding | None:
    """The region graded worst of those whose way from file to print is known; None where none is."""
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
