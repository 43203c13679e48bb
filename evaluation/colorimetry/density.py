"""Visual reflection density (ISO 5-3 spectral conditions, ISO 5-4 geometry), and as flare lets it be seen.

ISO visual density weights with illuminant A times V(lambda), not with D50: for greys the two agree to 0.002,
for a red they differ by 0.11. The weights here are those products on the grid of the readings (ASTM E2022);
they agree with the ISO visual spectral products to 0.21 of 100.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.weights import observer, weights

# Flare as a share of white in a good and in an ordinary viewing booth: common practice, unconfirmed.
BOOTH_FLARES: Final = (0.005, 0.01)

Array = NDArray[np.float64]


def visual_density(wavelengths: ArrayLike, spectra: ArrayLike) -> Array:
    """ISO visual density, absolute: 0 for the perfect diffuser.

    Parameters
    ----------
    wavelengths : (bands,)
        nm, as in `spectra.xyz_from_spectra`.
    spectra : (..., bands)
        Reflectance factors, 1 = perfect diffuser.

    Returns
    -------
    (...): densities; infinite where noise makes the weighted reflectance 0 or less.

    Raises
    ------
    FileProblem
        When the wavelengths cannot carry a colour.
    """
    bands = tuple(float(nm) for nm in np.atleast_1d(np.asarray(wavelengths, np.float64)))
    return _density(np.asarray(spectra, np.float64) @ visual_weights(bands))


def density_from_y(y: ArrayLike) -> Array:
    """Density (...) of luminance Y (...), 0..100: right for greys only; colours need their spectra.

    >>> round(float(density_from_y(1.0)), 2)
    2.0
    """
    return _density(np.asarray(y, np.float64) / 100)


def y_from_density(density: ArrayLike) -> Array:
    """Y (...), 0..100, of neutrals with these densities (...)."""
    return np.asarray(100 * 10.0 ** -np.asarray(density, np.float64))


def effective_density(density: ArrayLike, flare: float) -> Array:
    """The density (...) seen through flare, a veil of light over print and white alike.

    It is -log10((10^-D + f) / (1 + f)).

    Parameters
    ----------
    density : (...)
        Visual density.
    flare : float
        The veil as a share f of white luminance: 0.005 to 0.01 in a well set-up booth (`BOOTH_FLARES`), 0.02
        or more in a room (unconfirmed).
    """
    reflectance = 10.0 ** -np.asarray(density, np.float64)
    return _density((reflectance + flare) / (1 + flare))


@lru_cache(maxsize=16)
def visual_weights(bands: tuple[float, ...]) -> Array:
    """Weights (bands,) of illuminant A times V(lambda), sum 1. Raises FileProblem as `visual_density`."""
    products = illuminants()["A"].power * observer()[:, 1]
    scaled = weights(products[:, None] / products.sum(), bands)[:, 0]
    scaled.flags.writeable = False
    return scaled


def _density(reflectance: Array) -> Array:
    with np.errstate(divide="ignore"):
        return np.asarray(-np.log10(np.maximum(reflectance, 0.0)))
