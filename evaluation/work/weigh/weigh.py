"""Weigh: eye and instrument of a session, through the gate, and what its print is held against."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evaluation.archive import documents, sessions, weighings
from evaluation.judgement import codec
from evaluation.judgement import tables as judgement_tables
from evaluation.judgement import weigh as judgement
from evaluation.judgement.opinion import Inputs, Weighing
from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Array
from evaluation.metrics.gather import Gathered, gather
from evaluation.profile.prediction import Prediction
from evaluation.readings.run import Taken
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.telling.observers import set_aside
from evaluation.telling.weighing import WORDS
from evaluation.work import gate, home
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.neutrality.lamps import kept, second_light
from evaluation.work.neutrality.reference import wanted_curve
from evaluation.work.take_in import read
from evaluation.work.take_in.profiling import Profiling, profiling
from evaluation.work.weigh import whitener
from evaluation.work.weigh.earlier_black import earlier_black
from evaluation.work.weigh.expected import Promised, expected_of
from evaluation.work.weigh.inputs import inputs_of


@dataclass(frozen=True, slots=True, eq=False)
class Aims:
    """What a print is held against, each None where there is none; and what to say of them beside a result.

    expected        what its profile predicts

    earlier_black   luminance, 0..100 relative to paper
    tone            (m, 3) absolute CIELAB, the curve that greys are compared with
    """

    expected: Prediction | None = None
    earlier_black: float | None = None
    tone: Array | None = None
    caveats: tuple[str, ...] = ()


def tables(bench: Bench) -> Tables:
    """The tables in force: as shipped, with the user's settings laid over them."""
    return judgement_tables.load_tables(bench.settings_text, "weighing.toml")


def weigh(
    bench: Bench, session_id: int, *, reveal: bool = False, tell: judgement.Progress = judgement.untold
) -> Weighing:
    """The weighing of a session as it stands: the one that is kept of these inputs, else worked out and kept.

    Readings of regions the eye has not graded take no part: they are neither computed nor kept. With
    `reveal` they are shown after that has been recorded, which marks later grades of these regions. `tell`
    is told how far it is, region by region; what it raises ends the work, and nothing is kept.
    """
    if reveal:
        session = sessions.load(bench.archive, session_id)
        if hidden := read.waiting(session, sheet_of(bench, session), read.taken_in(bench, session)):
            read.reveal(bench, session_id, hidden)
    return _of_session(bench, session_id, tables(bench), keep=True, tell=tell)


def worked_out(bench: Bench, session_id: int) -> Weighing:
    """As `weigh`, but nothing is kept: that is left to the caller (`put`)."""
    return _of_session(bench, session_id, tables(bench), keep=False)


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


def aims_of(bench: Bench, session: Session, in_force: Tables) -> Aims:
    """What the print of this session is held against, the same wherever it is judged or drawn."""
    promised, black = black_aim(bench, session, in_force)
    return Aims(promised.expected, black, wanted_curve(bench, session, in_force), promised.caveats)


def gathered_of(
    bench: Bench, session: Session, sheet: Sheet, taken: Sequence[Taken], in_force: Tables
) -> Gathered | None:
    """The evidence of a session without draws, held against what its weighing holds it against."""
    if not taken:
        return None
    aims = aims_of(bench, session, in_force)
    return gather(
        sheet,
        taken,
        session.condition,
        in_force.limits_under(session),
        predicted=aims.expected,
        earlier_black=aims.earlier_black,
        tone=aims.tone,
    )


def black_aim(bench: Bench, session: Session, in_force: Tables) -> tuple[Promised, float | None]:
    """What the profile promises, and for want of a profile the black that was chosen."""
    promised = expected_of(bench, session)
    if promised.expected is not None:
        return promised, None
    black, caveat = earlier_black(bench, session, in_force, verdict_of)
    return (replace(promised, caveats=(*promised.caveats, caveat)) if caveat else promised), black


def under(bench: Bench, session: Session, tables: Tables) -> Weighing:
    """The weighing of a session under other tables than those in force; it is not kept."""
    return _worked_out(bench, session, tables, inputs_of(bench, tables)(session))


def _of_session(
    bench: Bench,
    session_id: int,
    in_force: Tables,
    *,
    keep: bool,
    tell: judgement.Progress = judgement.untold,
) -> Weighing:
    with bench.archive.snapshot():  # inputs and result are of one state, whatever others write meanwhile
        session = sessions.load(bench.archive, session_id)
        inputs = inputs_of(bench, in_force)(session)
        found = stored(bench, inputs, session_id)
        weighing = found or _worked_out(bench, session, in_force, inputs, tell)
    if keep and not bench.archive.read_only:
        if found is None:
            put(bench, weighing, in_force)
        home.remember_settings(bench, in_force.digest)
    return weighing


def _worked_out(
    bench: Bench,
    session: Session,
    in_force: Tables,
    inputs: Inputs,
    tell: judgement.Progress = judgement.untold,
) -> Weighing:
    sheet = sheet_of(bench, session)
    taken = read.taken_in(bench, session)
    aims = aims_of(bench, session, in_force)
    own = _of_profile(session, aims, taken)

    def weighed(heard: Session) -> Weighing:
        return judgement.weigh(
            heard,
            sheet,
            taken,
            in_force,
            looked=gate.open_regions(session, sheet),
            expected=aims.expected,
            earlier_black=aims.earlier_black,
            tone=aims.tone,
            profile=own.facts,
            words=WORDS,
            tell=tell,
        )

    weighing = weighed(session.counting())
    aside: tuple[str, ...] = ()
    if any(one.aside for one in session.viewings):
        aside = set_aside(session, weighing, weighed(session))
    light = second_light(session, lambda: kept(bench))
    yellower = whitener.caution(session, sheet, taken, own.facts.condition, light, in_force)
    caveats = (*aside, *yellower, *aims.caveats, *own.caveats, *weighing.caveats)
    return replace(weighing, inputs=inputs, fit=own.fit, caveats=caveats)


def _of_profile(session: Session, aims: Aims, taken: Sequence[Taken]) -> Profiling:
    """What profiling data say of the profile; why it cannot be used, its own caveat says."""
    if aims.expected is None:
        return profiling(None, taken) if session.condition.profile_digest is None else Profiling()
    return profiling(aims.expected.profile, taken)


def put(bench: Bench, weighing: Weighing, in_force: Tables) -> None:
    """Keep a result beside its session: whoever asks for it next finds the same one."""
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
