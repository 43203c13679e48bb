"""Paper and black of a print, the two ends of every scale, in words: facts, never graded or ranked."""

from collections.abc import Iterator
from dataclasses import dataclass

from evaluation.metrics.black import DensityBasis
from evaluation.telling.numbers import DENSITY_DIGITS, LAB_DIGITS, plain, signed


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


def told(found: Facts) -> str:
    """The facts in one paragraph, with what limits them."""
    return " ".join(part for part in _parts(found) if part)


def _parts(found: Facts) -> Iterator[str]:
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


def whitener_words(db: float | None) -> str:
    """How far b* of the bare paper falls back without ultraviolet; "" where that was not read."""
    return "" if db is None else f"Whitener: b* of the paper {signed(db, LAB_DIGITS)} without ultraviolet."
