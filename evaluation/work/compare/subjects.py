"""A session on the table of Compare: what its weighing rests on, and that weighing where it is kept."""

from dataclasses import replace

from evaluation.archive import sessions
from evaluation.judgement.matrix import ComparedSession
from evaluation.judgement.opinion import Weighing
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.weigh import weigh
from evaluation.work.weigh.inputs import InputsOf


def subject_of(bench: Bench, session_id: int, rests_on: InputsOf) -> ComparedSession:
    session = sessions.load(bench.archive, session_id)
    sheet, inputs = sheet_of(bench, session), rests_on(session)
    kept = weigh.stored(bench, inputs, session_id)
    return ComparedSession(session, sheet, inputs, kept, gate.open_regions(session, sheet))


def weighed_as(
    bench: Bench, subject: ComparedSession, weighing: Weighing, rests_on: InputsOf
) -> ComparedSession:
    """The subject with its weighing; in its present state, where something was entered meanwhile."""
    if weighing.inputs != subject.inputs:
        subject = subject_of(bench, subject.session.id, rests_on)
    return replace(subject, inputs=weighing.inputs, weighing=weighing)
