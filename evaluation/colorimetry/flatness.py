"""How flat the spectrum of a grey is, with the noise of the readings taken out.

Never graded: what counts is the shift under other light sources. (max - min) / mean would not do, since it
grows with the noise of deep blacks and with the number of bands, and so rewards weak blacks.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.errors import FileProblem

Array = NDArray[np.float64]

_BANDS: Final[Array] = np.arange(430.0, 681.0, 10.0)
_LEAST_READINGS: Final = 3


@dataclass(frozen=True, slots=True)
class Flatness:
    """Departure of a spectrum from flat, 0 = flat, as a share of its mean.

    value     rms over the bands, noise taken out
    floor     what noise alone would give; nan from a single reading
    readings  how many it is from
    """

    value: float
    floor: float
    readings: int

    @property
    def is_clear(self) -> bool:
        """Whether the value stands clear of noise, from 3 readings or more."""
        return self.readings >= _LEAST_READINGS and self.floor <= self.value / 2

    @property
    def clear_value(self) -> float | None:
        """The value where it stands clear of noise, else None."""
        return self.value if self.is_clear else None


def spectral_flatness(
    wavelengths: ArrayLike, readings: ArrayLike, paper: ArrayLike | None = None
) -> Flatness:
    """The spectral flatness of one patch, 430 to 680 nm at 10 nm.

    Parameters
    ----------
    wavelengths : (bands,)
        nm, rising, covering 430 to 680 nm; other grids than 10 nm are interpolated by straight lines.
    readings : (n, bands)
        Reflectance factors of repeated readings; of M2 rather than M0 or M1, where optical brightener glows.
    paper : (bands,) or None
        Of the paper, for greys: R / R_paper is taken, so that the paper's own spectrum does not count. None
        for the black, which is taken as measured.

    Returns
    -------
    Flatness
        As a share of the mean reflectance.

    Raises
    ------
    FileProblem
        When the wavelengths do not cover 430 to 680 nm.
    """
    nm = np.asarray(wavelengths, np.float64)
    if nm.size < 2 or nm[0] > _BANDS[0] or nm[-1] < _BANDS[-1]:
        raise FileProblem(
            "Spectral flatness was not calculated.",
            expected="bands from 430 to 680 nm or beyond",
            found=f"{nm[0]:g} to {nm[-1]:g} nm" if nm.size else "none",
        )
    values = np.atleast_2d(np.asarray(readings, np.float64))
    if paper is not None:
        values = values / np.asarray(paper, np.float64)
    values = np.array([np.interp(_BANDS, nm, row) for row in values])

    n = len(values)
    mean = values.mean(axis=0)
    level = float(mean.mean())
    noise = float(values.var(axis=0, ddof=1).mean()) / n if n > 1 else 0.0
    return Flatness(
        value=float(np.sqrt(max(0.0, float(mean.var()) - noise))) / level,
        floor=float(np.sqrt(noise)) / level if n > 1 else float("nan"),
        readings=n,
    )
