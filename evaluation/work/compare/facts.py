"""Depth of black, range and whitener of a print: facts beside its result, never graded or ranked. Gated."""

from collections.abc import Sequence
from dataclasses import dataclass

from evaluation.archive import sessions
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.documents.weighing import Black
from evaluation.metrics import black as blacks
from evaluation.metrics.black import DensityBasis
from evaluation.metrics.brightener_shift import brightener_shift
from evaluation.metrics.pool import pooled
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.compare.prints import region_of
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh


@dataclass(frozen=True, slots=True)
class Facts:
    """What was read of a print's paper and of the patch printed from source black.

    dmax, dmin  of black and paper, visual density (ISO 5-3, illuminant A, absolute) from spectra, else from Y
    lightness   L* of the two, absolute
    seen        density of the black seen with 0.5 % and 1 % of flare
    darkest     name of a patch that is darker than the black; "" for none, as it should be
    whitener    b* of the bare paper, M2 minus M1; None: not read under both
    why         why there are no numbers, or ""
    """

    session: int
    condition: str
    dmax: float | None
    dmin: float | None
    lightness: tuple[float, float] | None
    whitener: float | None
    why: str = ""
    seen: tuple[float, float] | None = None
    darkest: str = ""
    basis: DensityBasis | None = None
    note: str = ""

    @property
    def range(self) -> float | None:
        return None if self.dmax is None or self.dmin is None else self.dmax - self.dmin


def facts(bench: Bench, session_id: int) -> Facts:
    """Depth of black, range and whitener of one print, as far as its regions may be shown."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    taken = gate.visible_part(session, sheet, read.taken_in(bench, session))
    db = brightener_shift(sheet, taken)
    pool = pooled(sheet, taken, weigh.tables(bench).limits)
    condition = "" if pool is None else pool.condition or "not stated"
    if taken and gate.withheld(session, sheet, region_of(sheet, "black")) is not None:
        return Facts(session_id, condition, None, None, None, db, "the black is not graded yet")
    if pool is None:
        why = (
            "no reading can be used"
            if any(part.matched for part in taken)
            else "nothing read that may be shown"
        )
        return Facts(session_id, condition, None, None, None, db, why)
    black = blacks.black(sheet, taken, pool)
    if black is None:
        return Facts(session_id, condition, None, None, None, db, "the black was not read")
    return Facts(
        session_id,
        condition,
        black.d_max,
        black.d_max - black.d_range,
        (black.L, float(lab_from_xyz(pool.bare)[0])),
        db,
        seen=black.effective,
        darkest=black.darkest,
        basis=black.basis,
        note=black.note,
    )


def document(found: Facts) -> Black:
    """The facts as plain JSON values; null: not read, or not to be shown."""
    return {
        "condition": found.condition or None,
        "dmax": _rounded(found.dmax),
        "range": _rounded(found.range),
        "seen": None if found.seen is None else (round(found.seen[0], 2), round(found.seen[1], 2)),
        "darker_patch": found.darkest or None,
        "whitener": None if found.whitener is None else round(found.whitener, 1),
        "why_not": found.why or None,
    }


def told(found: Facts) -> str:
    """The facts in one paragraph, with what limits them."""
    said: Sequence[str] = ()
    if found.dmax is not None and found.range is not None and found.seen is not None:
        how = "" if found.basis == "spectra" else ", from Y for want of spectra"
        said = (
            f"Black: D {found.dmax:.2f}, {found.range:.2f} above the paper ({found.condition}{how}); "
            f"seen as {found.seen[0]:.2f} and {found.seen[1]:.2f} with 0.5 and 1 % of flare (unconfirmed).",
            f"{found.darkest} is darker than the black." if found.darkest else "",
            found.note,
        )
    elif found.why:
        said = (f"Black: {found.why}.",)
    if found.whitener is not None:
        said = (*said, f"Whitener: b* of the paper {found.whitener:+.1f} without ultraviolet.")
    return " ".join(part for part in said if part)


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2)
