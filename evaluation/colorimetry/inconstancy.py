"""Colour inconstancy: how the colours of a print shift under another light source once the eye has adapted.

Samples are seen relative to their own paper: CAT16, full adaptation, the white being that paper under that
light source. A shift is that colour minus the one under D50, in CIELAB. The paper's own shift is separate,
adapted to the perfect diffuser.

Paper with optical brightener reflects and glows. Spectra under M1 contain the glow, which a light source
without ultraviolet does not excite, so each side takes its own spectra: D50 and D65 those of M1, a light
source without ultraviolet, or any behind glass, those of M2, else of M0 with a remark.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.adaptation import Transform, cat16
from evaluation.colorimetry.difference import delta_ch
from evaluation.colorimetry.illuminants import Light, illuminants
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz
from evaluation.colorimetry.spectra import tristimulus_weights
from evaluation.published.passport import load_table

Array = NDArray[np.float64]

DEFAULT_LIGHTS: Final = ("D50", "A", "LED-B2", "LED-B3")
STRESS_LIGHTS: Final = ("FL11", "LED-RGB1")  # the worst of any list, so they are shown separately


@dataclass(frozen=True, slots=True, eq=False)
class Reflectances:
    """Samples and the paper they are printed on, measured in one run under one measurement condition.

    wavelengths  (bands,) nm
    samples      (..., bands) reflectance factors, 1 = perfect diffuser
    paper        (bands,) or (..., bands), broadcasting with the samples
    """

    wavelengths: Array
    samples: Array
    paper: Array


def adapted_lab(measured: Reflectances, light: Light, transform: Transform = cat16) -> Array:
    """CIELAB (..., 3) of the samples under `light`, the eye adapted to their paper, which is 100, 0, 0.

    Raises FileProblem when the wavelengths cannot carry a colour.
    """
    weights = tristimulus_weights(measured.wavelengths, light)
    white = np.asarray(measured.paper, np.float64) @ weights
    return lab_from_xyz(transform(np.asarray(measured.samples, np.float64) @ weights, white, D50_WHITE))


def light_shift(
    daylight: Reflectances, lamp: Reflectances, light: Light, transform: Transform = cat16
) -> Array:
    """dL*, da*, db* (..., 3) of the samples from D50 to `light`; above 0 lighter, redder, yellower.

    Parameters
    ----------
    daylight, lamp
        The same patches in the same order as measured for D50 and for `light`; both may be one measurement.
    light
        The light source.
    transform
        By which the eye adapts; published ones differ, see `adaptation.TRANSFORMS`.

    Returns
    -------
    (..., 3): zeros for a sample whose reflectance is a constant share of its paper's.
    """
    d50 = illuminants()["D50"]
    return adapted_lab(lamp, light, transform) - adapted_lab(daylight, d50, transform)


def paper_shift(daylight: Reflectances, lamp: Reflectances, light: Light) -> Array:
    """dL*, da*, db* (..., 3) of bare paper from D50 to `light`, the eye adapted to the perfect diffuser."""
    return light_shift(_bare(daylight), _bare(lamp), light)


def differential_shift(shifts: ArrayLike) -> tuple[Array, Array]:
    """How unevenly a scale shifts: largest and mean dCh between the shifts of any two steps, (...) each.

    A scale that shifts as a whole keeps its greys alike, and the eye adapts. `shifts` (..., n, 3) are as from
    `light_shift`, n at least 2.
    """
    shifts = np.asarray(shifts, np.float64)
    one, other = np.triu_indices(shifts.shape[-2], k=1)
    apart = delta_ch(shifts[..., one, :], shifts[..., other, :])
    return np.asarray(apart.max(axis=-1)), np.asarray(apart.mean(axis=-1))


def chart_skin_shift(light: Light, transform: Transform = cat16) -> dict[str, Array]:
    """dL*, da*, db* (3,) from D50 to `light` of "dark skin" and "light skin" (patches 1, 2 of ISO 17321-1).

    Real skin shifts much like these. Only what a printed skin shifts beyond that is the print's own.
    """
    table = load_table("evaluation.published", "chart-skins.csv")
    names = table.columns[1:]
    nm = np.array(table.numbers("nm"))
    measured = Reflectances(nm, np.array([table.numbers(name) for name in names]), np.ones(nm.size))
    return dict(zip(names, light_shift(measured, measured, light, transform), strict=True))


def _bare(measured: Reflectances) -> Reflectances:
    """The paper as a sample on the perfect diffuser."""
    return Reflectances(measured.wavelengths, measured.paper, np.ones(len(measured.wavelengths)))
