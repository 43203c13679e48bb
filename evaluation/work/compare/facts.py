"""Depth of black, range and whitener of a print: facts beside its result, never graded or ranked. Gated."""

from evaluation.archive import sessions
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.documents.weighing import Black
from evaluation.metrics import black as blacks
from evaluation.metrics.brightener_shift import brightener_shift
from evaluation.metrics.pool import pooled
from evaluation.telling.curves.prints import region_of
from evaluation.telling.paper_and_black import PaperAndBlack
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh


def facts(bench: Bench, session_id: int) -> PaperAndBlack:
    """Depth of black, range and whitener of one print, as far as its regions may be shown."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    taken = gate.visible_part(session, sheet, read.taken_in(bench, session))
    shift = brightener_shift(sheet, taken)
    pool = pooled(sheet, taken, weigh.tables(bench).limits)
    condition = "" if pool is None else pool.condition or "not stated"
    if taken and gate.withheld(session, sheet, region_of(sheet, "black")) is not None:
        return PaperAndBlack(session_id, condition, None, None, None, shift, "the black is not graded yet")
    if pool is None:
        why = (
            "no reading can be used"
            if any(part.matched for part in taken)
            else "nothing read that may be shown"
        )
        return PaperAndBlack(session_id, condition, None, None, None, shift, why)
    black = blacks.black(sheet, taken, pool)
    if black is None:
        return PaperAndBlack(session_id, condition, None, None, None, shift, "the black was not read")
    return PaperAndBlack(
        session_id,
        condition,
        black.d_max,
        black.d_max - black.d_range,
        (black.L, float(lab_from_xyz(pool.bare)[0])),
        shift,
        seen=black.effective,
        darkest=black.darkest,
        basis=black.basis,
        note=black.note,
    )


def document(found: PaperAndBlack) -> Black:
    """The facts as plain JSON values; null: not read, or not to be shown."""
    return {
        "condition": found.condition or None,
        "dmax": _rounded(found.dmax),
        "range": _rounded(found.range),
        "seen": None if found.seen is None else (round(found.seen[0], 2), round(found.seen[1], 2)),
        "darker_patch": found.darkest or None,
        "whitener": None if found.whitener is None else round(found.whitener.db, 1),
        "whitener_less": None if found.whitener is None else found.whitener.less,
        "why_not": found.why or None,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2)
