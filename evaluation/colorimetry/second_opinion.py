"""The same colorimetry by colour-science: what our array functions are held against, in tests and by users.

Its tables, weights, CIELAB, CIEDE2000 and CAT16; only the sum over the bands is numpy's in both.
"""

from types import ModuleType
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.illuminants import Light
from evaluation.colorimetry.inconstancy import Reflectances
from evaluation.colorimetry.lab import D50_WHITE
from evaluation.colorimetry.weights import END, START
from evaluation.published.colour_science import colour_science

Array = NDArray[np.float64]

_OBSERVER: Final = "CIE 1931 2 Degree Standard Observer"


def xyz_from_spectra(wavelengths: ArrayLike, spectra: ArrayLike, light: str | Light = "D50") -> Array:
    """XYZ (..., 3), Y = 100 for the perfect diffuser, of reflectance factors (..., bands).

    `light`: a name that colour-science knows, and then its spectrum counts; a light of one's own otherwise.
    """
    with colour_science() as colour:
        bands, kept = _kept(np.asarray(wavelengths, np.float64))
        values = np.asarray(spectra, np.float64)[..., kept]
        return np.asarray(values @ _weights(colour, bands, light))


def lab_from_xyz(xyz: ArrayLike) -> Array:
    """CIELAB for D50 (..., 3)."""
    with colour_science() as colour:
        white = colour.XYZ_to_xy(D50_WHITE / 100)
        return np.asarray(colour.XYZ_to_Lab(np.asarray(xyz, np.float64) / 100, white))


def delta_e_2000(reference: ArrayLike, sample: ArrayLike) -> Array:
    """CIEDE2000 of CIELAB (..., 3), to (...)."""
    with colour_science() as colour:
        return np.asarray(colour.delta_E(reference, sample, method="CIE 2000"))


def visual_density(wavelengths: ArrayLike, spectra: ArrayLike) -> Array:
    """ISO visual density (...), from Y under illuminant A: the same product of light and V(lambda)."""
    Y = xyz_from_spectra(wavelengths, spectra, "A")[..., 1]
    with np.errstate(divide="ignore"):
        return np.asarray(-np.log10(np.maximum(Y, 0.0) / 100))


def adapted_lab(measured: Reflectances, light: str | Light) -> Array:
    """CIELAB (..., 3) under `light`, the eye adapted to the paper by CAT16."""
    samples, paper = (
        xyz_from_spectra(measured.wavelengths, spectra, light)
        for spectra in (measured.samples, measured.paper)
    )
    with colour_science() as colour:
        adapted = colour.adaptation.chromatic_adaptation_VonKries(
            samples, paper, D50_WHITE, transform="CAT16"
        )
    return lab_from_xyz(adapted)


def is_even(wavelengths: ArrayLike) -> bool:
    """Whether the bands lie equally far apart.

    Uneven ones are joined by straight lines here and by cubics in our own functions, which may come out
    1 dE*ab apart in a saturated colour.
    """
    return bool(np.ptp(np.diff(np.asarray(wavelengths, np.float64))) < 0.02)


def _kept(bands: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Bands within the range of ASTM E308, and which of all they are."""
    kept = (bands >= START) & (bands <= END)
    return bands[kept], kept


def _weights(colour: ModuleType, bands: Array, light: str | Light) -> Array:
    fine = colour.SpectralShape(START, END, 1)
    matching = colour.MSDS_CMFS[_OBSERVER].copy().align(fine)
    if isinstance(light, Light):
        power = colour.SpectralDistribution(light.power, np.arange(START, END + 1.0))
    else:
        # By default it joins the 5 nm of a lamp by straight lines, which moves saturated colours by 0.2 dE00
        # against sums at 5 nm; CIE 015 recommends Sprague's polynomials, and lines for daylight alone.
        lines = colour.LinearInterpolator if light.startswith("D") else colour.SpragueInterpolator
        power = colour.SDS_ILLUMINANTS[light].copy().align(fine, interpolator=lines)
    step = bands[1] - bands[0]
    if step in (1.0, 5.0, 10.0, 20.0) and (np.diff(bands) == step).all() and (bands[0] - START) % step == 0:
        table = colour.colorimetry.tristimulus_weighting_factors_ASTME2022(
            matching, power, colour.SpectralShape(START, END, step)
        )
        within = colour.SpectralShape(bands[0], bands[-1], step)
        return np.asarray(
            colour.colorimetry.adjust_tristimulus_weighting_factors_ASTME308(
                table, colour.SpectralShape(START, END, step), within
            )
        )
    return np.asarray(
        colour.msds_to_XYZ(_joined(colour, bands), matching, power, method="Integration", shape=fine)
    )


def _joined(colour: ModuleType, bands: Array) -> Array:
    """Each band alone, (bands, 421): 1 there, 0 at the others, joined at 1 nm; the ends are held."""
    at = np.clip(np.arange(START, END + 1.0), bands[0], bands[-1])
    alone = np.eye(bands.size)
    if is_even(bands):
        even = np.linspace(bands[0], bands[-1], bands.size)  # thirds of a nanometre are written rounded
        return np.array([colour.SpragueInterpolator(even, one)(at) for one in alone])
    return np.array([np.interp(at, bands, one) for one in alone])
