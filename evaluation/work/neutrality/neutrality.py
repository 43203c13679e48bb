"""The neutrality record of one print or several, through the gate; printing modes side by side."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Final

from evaluation.archive import sessions
from evaluation.errors import UsageProblem
from evaluation.judgement.greys_compared import GreysCompared, beside, ranked
from evaluation.judgement.neutrality_record import neutrality_record
from evaluation.judgement.tables import Tables
from evaluation.judgement.toning import toning
from evaluation.judgement.two_prints import default_spread
from evaluation.metrics.pool import judging
from evaluation.readings.age import age
from evaluation.readings.run import Taken
from evaluation.session import Session
from evaluation.telling.caveats import sheets_unknown
from evaluation.telling.neutrality import limits
from evaluation.telling.neutrality.prints import Greys, Neutrality
from evaluation.telling.neutrality.sentences import quote, sentence
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.neutrality.lamps import Lamps, kept, of_session
from evaluation.work.neutrality.reference import not_shown, plain, scale_region
from evaluation.work.neutrality.tone import curve, tone
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.weigh import black_aim

MOST: Final = 30
NOT_RECORDED: Final = "No neutrality record was made."
# What tells prints of one record apart by name: the first that differs, and more where that is not enough.
_TELLING: Final = ("paper", "driver_mode", "quality", "media_setting", "inks", "printer", "profile")


def neutrality(
    bench: Bench,
    session_ids: Sequence[int],
    *,
    lamps: Lamps | None = None,
    tone_wanted: str | None = None,
    reveal_hidden: bool = False,
) -> Neutrality:
    """The record of these sessions, each as far as its neutral scale may be shown.

    `tone_wanted` is held against all of them in place of what Describe says. With `reveal_hidden` a scale
    without a grade is shown after that has been recorded. Raises UsageProblem for none or more than thirty.
    """
    ids = tuple(dict.fromkeys(session_ids))
    if not 1 <= len(ids) <= MOST:
        raise UsageProblem(NOT_RECORDED, expected=f"1 to {MOST} sessions", found=str(len(ids)))
    tables, lamps = weigh.tables(bench), kept(bench) if lamps is None else lamps
    found = [_greys(bench, session_id, tables, lamps, tone_wanted, reveal_hidden) for session_id in ids]
    names = _names([one.session for one in found])
    prints = tuple(replace(one, name=names[one.id]) for one in found)
    records = {one.id: one.record for one in prints if one.record is not None}
    one_aim = all(one.toning is None and one.tone.kind != "other" for one in prints if one.record is not None)
    order = ranked(records) if one_aim else ()
    first, *others = order or tuple(records) or (0,)
    pairs = tuple(beside(records[first], records[other], tables) for other in others)
    papers = {one.session.condition.paper for one in prints if one.record is not None}
    said = quote(records, pairs, names, papers.pop() if len(papers) == 1 else "") if order else ""
    if not order and len(records) > 1:
        said = " ".join(one.sentence for one in prints if one.record is not None)
    return Neutrality(prints, order, pairs, said, _caveats(prints, pairs, tables, lamps))


def reveal(bench: Bench, session_id: int) -> None:
    """Record that the neutral scale of a session is shown before its grade. It cannot be undone."""
    sheet = sheet_of(bench, sessions.load(bench.archive, session_id))
    if region := scale_region(sheet):
        read.reveal(bench, session_id, [region])


def _greys(
    bench: Bench, session_id: int, tables: Tables, lamps: Lamps, tone_wanted: str | None, reveal_hidden: bool
) -> Greys:
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    said = session.condition.tone_wanted if tone_wanted is None else tone_wanted
    wanted = tone(bench, said)
    taken = read.taken_in(bench, session)
    if reveal_hidden and scale_region(sheet) in read.waiting(session, sheet, taken):
        reveal(bench, session_id)
        session = sessions.load(bench.archive, session_id)
    if why := not_shown(session, sheet, taken):
        closed = bool(scale_region(sheet)) and gate.withheld(session, sheet, scale_region(sheet)) is not None
        return Greys(session, sheet, "", wanted, None, why, hidden=closed and bool(taken))
    lights = of_session(session, lamps)
    promised, black = black_aim(bench, session, tables)
    shown = gate.visible_part(session, sheet, taken)
    recorded = partial(
        neutrality_record,
        session.counting(),
        sheet,
        shown,
        tables,
        expected=promised.expected,
        earlier_black=black,
        lamps=lights.lights,
    )
    record = recorded()
    if record is None:
        return Greys(session, sheet, "", wanted, None, limits.no_greys(session_id))
    caveats = [*lights.caveats, *promised.caveats, wanted.caveat]
    if wanted.kind == "like" and wanted.reference is not None:
        laid = plain(bench, wanted.reference, tables)
        aim = laid if isinstance(laid, str) else curve(laid, record)
        if aim is None or isinstance(aim, str):
            why = aim or limits.no_tone(wanted.reference)
            wanted = replace(wanted, kind="other", caveat=why)
            caveats.append(limits.own_grey(why))
        else:
            toned = recorded(tone=aim)
            assert toned is not None  # the same readings gave a record above
            record = toned
    leans = toning(record, wanted.family, tables) if wanted.family is not None else None
    return Greys(
        session,
        sheet,
        "",
        wanted,
        record,
        toning=leans,
        sentence=sentence(record, leans, gives_tone=wanted.reference == session_id),
        hours=_hours(session, shown),
        caveats=tuple(one for one in (*caveats, *limits.limits(record, session.condition.black_from)) if one),
    )


def _hours(session: Session, taken: Sequence[Taken]) -> float | None:
    printed = session.condition.printed_at
    times = [part.run.stated.measured_at for part in judging(taken)]
    dated = [at for at in times if at is not None]
    if printed is None or not dated:
        return None
    last = age(printed, max(dated))
    return None if last is None else last.hours


def _names(found: Sequence[Session]) -> dict[int, str]:
    """What tells the prints apart: mode, paper, quality; a single print by its mode."""
    if len(found) == 1:
        return {found[0].id: found[0].condition.driver_mode}
    names: dict[int, tuple[str, ...]] = {session.id: () for session in found}
    for field in _TELLING:
        values = {session.id: str(getattr(session.condition, field)) for session in found}
        if len(set(values.values())) > 1 and len(set(names.values())) < len(found):
            label = "quality " if field == "quality" else ""
            names = {one: (*names[one], f"{label}{value}" if value else "") for one, value in values.items()}
    return {one: ", ".join(part for part in parts if part) for one, parts in names.items()}


def _caveats(
    prints: Sequence[Greys], pairs: Sequence[GreysCompared], tables: Tables, lamps: Lamps
) -> tuple[str, ...]:
    said = [caveat for one in prints for caveat in ((one.why,) if one.record is None else one.caveats)]
    papers = {one.session.condition.paper for one in prints if one.record is not None}
    if len(papers) > 1:
        said.append(limits.DIFFERENT_PAPERS)
    if any(not pair.reason for pair in pairs):
        said.append(sheets_unknown((), default_spread(tables)))
    return tuple(dict.fromkeys(said))
