"""What becomes of a print under another light: shifts of colour after the eye has adapted.

Samples are seen relative to their own paper: CAT16, full adaptation, white = that paper under that light. A
shift is light minus D50 in CIELAB. The paper's own change is a row of its own, adapted to the perfect white.

Paper with whitener reflects and glows. M1 spectra hold the glow, which a lamp without ultraviolet does not
cause, so the two legs take their own spectra: D50 and D65 from M1; a lamp without ultraviolet, or any light
behind glass, from M2, else from M0 and said so.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.adaptation import cat16
from evaluation.colorimetry.difference import delta_ch
from evaluation.colorimetry.illuminants import Light, illuminants
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz
from evaluation.colorimetry.spectra import tristimulus_weights
from evaluation.published.passport import load_table

Array = NDArray[np.float64]

DEFAULT_LIGHTS: Final = ("D50", "A", "LED-B2", "LED-B3")
STRESS_LIGHTS: Final = ("FL11", "LED-RGB1")  # the worst of any list, so they are shown apart


@dataclass(frozen=True, slots=True, eq=False)
class Reflectances:
    """Samples and the paper they stand on, measured in one run under one condition.

    wavelengths  (bands,) nm
    samples      (..., bands) reflectance factors, 1 = perfect diffuser
    paper        (bands,) or (..., bands), broadcasting with the samples
    """

    wavelengths: Array
    samples: Array
    paper: Array


def adapted_lab(measured: Reflectances, light: Light) -> Array:
    """CIELAB of the samples under `light`, the eye adapted to their paper; paper is 100, 0, 0. (..., 3).

    Raises FileProblem when the wavelengths cannot carry a colour.
    """
    weights = tristimulus_weights(measured.wavelengths, light)
    white = np.asarray(measured.paper, np.float64) @ weights
    return lab_from_xyz(cat16(np.asarray(measured.samples, np.float64) @ weights, white, D50_WHITE))


def light_shift(daylight: Reflectances, lamp: Reflectances, light: Light) -> Array:
    """dL*, da*, db* (..., 3) of the samples from D50 to `light`; above 0: lighter, redder, yellower.

    `daylight` is the leg under D50, `lamp` the one under `light`: the same patches in the same order, which
    may be the same measurement. A sample of constant share of its paper does not shift.
    """
    return adapted_lab(lamp, light) - adapted_lab(daylight, illuminants()["D50"])


def paper_shift(daylight: Reflectances, lamp: Reflectances, light: Light) -> Array:
    """dL*, da*, db* (..., 3) of the bare paper from D50 to `light`, the eye adapted to the perfect white."""
    return light_shift(_bare(daylight), _bare(lamp), light)


def differential_shift(shifts: ArrayLike) -> tuple[Array, Array]:
    """How unevenly a scale shifts: largest and mean dCh between the shifts of any two of its steps.

    A scale that shifts as one keeps its greys alike, and the eye adapts. `shifts` is (..., n, 3) as
    `light_shift` gives it, n at least 2; both results are (...).
    """
    shifts = np.asarray(shifts, np.float64)
    one, other = np.triu_indices(shifts.shape[-2], k=1)
    apart = delta_ch(shifts[..., one, :], shifts[..., other, :])
    return np.asarray(apart.max(axis=-1)), np.asarray(apart.mean(axis=-1))


def chart_skin_shift(light: Light) -> dict[str, Array]:
    """The shift, (3,), of two painted skin colours that real skin shares: "dark skin" and "light skin".

    Skin moves between lights in life too. What a printed skin moves beyond this is the print's own.
    """
    table = load_table("evaluation.published", "chart-skins.csv")
    names = table.columns[1:]
    nm = np.array(table.numbers("nm"))
    measured = Reflectances(nm, np.array([table.numbers(name) for name in names]), np.ones(nm.size))
    return dict(zip(names, light_shift(measured, measured, light), strict=True))


def _bare(measured: Reflectances) -> Reflectances:
    """The paper as a sample on the perfect white."""
    return Reflectances(measured.wavelengths, measured.paper, np.ones(len(measured.wavelengths)))
