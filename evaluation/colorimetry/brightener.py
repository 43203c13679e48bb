"""The effect of optical brightener (OBA) in a paper, from readings with and without ultraviolet.

It is M2 less M1. Where M1 was not read, M0 stands in for it: ISO 13655 does not lay down how much ultraviolet
its lamp has, so whatever shows the difference names which of the two it was.

Instruments of 45:0 geometry cannot measure the classes of ISO 15397 (D65 brightness with and without
ultraviolet), and no standard has classes of b*(M2) - b*(M1): its words here are the project's own.
"""

from dataclasses import dataclass
from typing import Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

Lit = Literal["M1", "M0"]  # conditions with ultraviolet, the better first
LIT: Final[tuple[Lit, ...]] = get_args(Lit)

# b* of M2 less M1 from which a paper holds as much of it (project's own choice).
CLASSES: Final = ((6.0, "much"), (3.0, "a fair amount"), (1.0, "a little"), (-100.0, "hardly any"))

_GLOW_FROM: Final = 420.0  # nm, where optical brightener in paper glows most (common practice)
_GLOW_TO: Final = 460.0


@dataclass(frozen=True, slots=True)
class Brightener:
    """M2 less M1, or less M0, of one patch: above 0 it is lighter, redder, yellower without ultraviolet.

    dl, da, db  dL*, da*, db*
    glow        largest fall of R to M2 between 420 and 460 nm, reflectance factor; None without spectra
    glow_at     its wavelength, nm
    """

    dl: float
    da: float
    db: float
    glow: float | None = None
    glow_at: float | None = None


def brightener(
    lab_lit: Array,
    lab_m2: Array,
    wavelengths: Array | None = None,
    spectrum_lit: Array | None = None,
    spectrum_m2: Array | None = None,
) -> Brightener:
    """The effect of optical brightener on one patch.

    Both readings, under one of `LIT` and under M2, are of one instrument on one backing.

    Parameters
    ----------
    lab_lit, lab_m2 : (3,)
        CIELAB for D50.
    wavelengths : (bands,)
        nm, common to both spectra.
    spectrum_lit, spectrum_m2 : (bands,)
        Reflectance factors.
    """
    dl, da, db = (float(v) for v in np.asarray(lab_m2, np.float64) - np.asarray(lab_lit, np.float64))
    if wavelengths is None or spectrum_lit is None or spectrum_m2 is None:
        return Brightener(dl, da, db)
    inside = (wavelengths >= _GLOW_FROM) & (wavelengths <= _GLOW_TO)
    gain = np.where(inside, np.asarray(spectrum_lit) - np.asarray(spectrum_m2), -np.inf)
    strongest = int(np.argmax(gain))
    return Brightener(dl, da, db, glow=float(gain[strongest]), glow_at=float(wavelengths[strongest]))


def amount_words(db: float) -> str:
    """How much brightener a paper holds, by what its b* gains without ultraviolet.

    >>> amount_words(0.3), amount_words(4.5)
    ('hardly any', 'a fair amount')
    """
    return next((word for least, word in CLASSES if db >= least), CLASSES[-1][1])


def print_turns_yellower(
    db: float, *, profile_condition: str, light_has_ultraviolet: bool, limit: float
) -> bool:
    """Whether the whole print will look yellower, by about `db`, where it will hang.

    That takes all three: a profile made from M1 or M0 (`profile_condition`), a paper whose b* rises from M1
    to M2 by `db`, more than `limit` (a setting), and viewing light without ultraviolet, or behind glass.
    """
    return profile_condition in ("M0", "M1") and db > limit and not light_has_ultraviolet
