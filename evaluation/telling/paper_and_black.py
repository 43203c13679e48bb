"""Paper and black of a print, the two ends of every scale, in words: facts, never graded or ranked."""

from collections.abc import Iterator
from dataclasses import dataclass

from evaluation.colorimetry.brightener import LIT
from evaluation.metrics.black import DensityBasis
from evaluation.metrics.brightener_shift import BrightenerShift
from evaluation.telling.numbers import DENSITY_DIGITS, LAB_DIGITS, plain, signed


@dataclass(frozen=True, slots=True)
class PaperAndBlack:
    """What was read of a print's paper and of the patch printed from source black.

    dmax, dmin  of black and paper, visual density (ISO 5-3, illuminant A, absolute) from spectra, else from Y
    lightness   L* of the two, absolute
    seen        density of the black seen with 0.5 % and 1 % of flare
    darkest     name of a patch that is darker than the black; "" for none, as it should be
    whitener    shift of b* of the bare paper without ultraviolet; None: not read for it
    why         why there are no numbers, or ""
    """

    session: int
    condition: str
    dmax: float | None
    dmin: float | None
    lightness: tuple[float, float] | None
    whitener: BrightenerShift | None
    why: str = ""
    seen: tuple[float, float] | None = None
    darkest: str = ""
    basis: DensityBasis | None = None
    note: str = ""

    @property
    def range(self) -> float | None:
        return None if self.dmax is None or self.dmin is None else self.dmax - self.dmin


def told(found: PaperAndBlack) -> str:
    """The facts in one paragraph, with what limits them."""
    return " ".join(part for part in _parts(found) if part)


def _parts(found: PaperAndBlack) -> Iterator[str]:
    if found.dmax is not None and found.range is not None and found.seen is not None:
        how = "" if found.basis == "spectra" else ", from Y for want of spectra"
        seen = " and ".join(plain(density, DENSITY_DIGITS) for density in found.seen)
        depth, above = (plain(value, DENSITY_DIGITS) for value in (found.dmax, found.range))
        yield (
            f"Black: D {depth}, {above} above the paper ({found.condition}{how}); "
            f"seen as {seen} with 0.5 and 1 % of flare (unconfirmed)."
        )
        yield f"{found.darkest} is darker than the black." if found.darkest else ""
        yield found.note
    elif found.why:
        yield f"Black: {found.why}."
    yield whitener_words(found.whitener)


def whitener_words(shift: BrightenerShift | None) -> str:
    """How far b* of the bare paper falls back without ultraviolet; "" where that was not read."""
    if shift is None:
        return ""
    db = signed(shift.db, LAB_DIGITS)
    return f"Whitener: b* of the paper {db} without ultraviolet (M2 less {shift.less})."


def whitener_cell(shift: BrightenerShift | None, unit: str = "") -> str:
    """The same in a column: less M0 it is another measure, which replaces the unit."""
    if shift is None:
        return "-"
    return signed(shift.db, LAB_DIGITS) + (unit if shift.less == LIT[0] else f" ({shift.less})")
