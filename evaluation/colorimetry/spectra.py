"""Tristimulus values of reflectance spectra for the 2 degree observer (ASTM E308, ISO 13655)."""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.colorimetry.illuminants import Light, illuminants
from evaluation.colorimetry.weights import observer, weights

Array = NDArray[np.float64]


def xyz_from_spectra(wavelengths: ArrayLike, spectra: ArrayLike, light: Light | None = None) -> Array:
    """XYZ of reflectance spectra, Y = 100 for the perfect diffuser.

    Parameters
    ----------
    wavelengths : (bands,)
        nm, rising, covering 400 to 680 nm in steps of at most 20 nm; they need not be even.
    spectra : (..., bands)
        Reflectance factors, 1 = perfect diffuser. A nan gives nan.
    light : Light, optional
        D50 by default.

    Returns
    -------
    (..., 3)

    Raises
    ------
    FileProblem
        When the wavelengths cannot carry a colour.
    """
    return np.asarray(spectra, np.float64) @ tristimulus_weights(wavelengths, light)


def tristimulus_weights(wavelengths: ArrayLike, light: Light | None = None) -> Array:
    """Weights (bands, 3) for reflectance factors at `wavelengths`; those of Y sum to 100.

    Raises FileProblem when the wavelengths cannot carry a colour.
    """
    return _weights(np.asarray(wavelengths, np.float64).tobytes(), light or illuminants()["D50"])


@lru_cache(maxsize=64)
def _weights(bands: bytes, light: Light) -> Array:
    products = light.power[:, None] * observer()
    scaled = weights(products * (100 / products[:, 1].sum()), np.frombuffer(bands))
    scaled.flags.writeable = False
    return scaled
