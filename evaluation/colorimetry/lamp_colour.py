"""What a lamp's spectrum says of the light it gives: its colour, and what it does to the colours of things.

Worked out with colour-science from the spectrum at 1 nm, 380 to 780 nm; a spectrum that is stated for less
counts as dark outside. Tables at 5 nm give a fidelity index 0.1 lower or higher than at 1 nm.
"""

from dataclasses import dataclass
from functools import cache
from types import ModuleType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.illuminants import Light, illuminants
from evaluation.colorimetry.spectra import xyz_from_spectra
from evaluation.colorimetry.weights import END, START
from evaluation.published.colour_science import colour_science

Array = NDArray[np.float64]

WIDEST_STEP: Final = 5.0  # nm, the coarsest that CIE 224 lets a fidelity index be worked out from
_BEGIN: Final = 380 - START  # the range of CIE 13.3 and CIE 224
_NM: Final[Array] = np.arange(START, END + 1.0)[_BEGIN:]
_FARTHEST: Final = 0.05  # (u, v) from the Planckian locus: no colour temperature beyond (CIE 015:2018, 9.5)
_WARMEST, _COOLEST = 1000.0, 25_000.0  # kelvin, as CIE 224 is worked out
_OBSERVERS: Final = {2: "CIE 1931 2 Degree Standard Observer", 10: "CIE 1964 10 Degree Standard Observer"}
# Three Gaussian dyes (peaks and widths in nm) in densities that match a flat reflector of 20 % under D50: a
# grey composed of inks beside a grey of black ink. Project's own choice.
_DYES: Final = ((0.80239092, 650.0, 45.0), (0.69052189, 545.0, 35.0), (0.75370193, 445.0, 40.0))
_FLAT: Final = 0.2


@dataclass(frozen=True, slots=True)
class LampColour:
    """The colour of a light and how it renders. `white` is None where a light is too far from white for it.

    xy           x, y of the 2 degree observer
    uv_10        u', v' (CIE 1976) of the 10 degree observer
    from_d50     distance of `uv_10` from that of D50
    ultraviolet  power at 360 to 395 nm as a share of that at 400 to 700 nm (means); None: not stated
    """

    xy: tuple[float, float]
    uv_10: tuple[float, float]
    from_d50: float
    ultraviolet: float | None
    white: "WhiteLight | None"


@dataclass(frozen=True, slots=True)
class WhiteLight:
    """What only a light that looks white has.

    kelvin      correlated colour temperature
    duv         signed distance from the Planckian locus, CIE 1960 u, v: above 0 greener, below 0 pinker
    rendering   R1 to R14 of CIE 13.3; 100 is rendered as by the reference of the same colour temperature
    fidelity    Rf of CIE 224, 0 to 100
    metamerism  dE*ab between a grey of three dyes and a flat one that match under D50 (ISO 18314-4)
    """

    kelvin: float
    duv: float
    rendering: tuple[float, ...]
    fidelity: float
    metamerism: float

    @property
    def general_rendering(self) -> float:
        """Ra, the mean of R1 to R8."""
        return sum(self.rendering[:8]) / 8


def lamp_colour(light: Light) -> LampColour:
    """Everything of a light at once: a quarter of a second once colour-science is imported."""
    with colour_science() as colour:
        xyz, xyz_10 = (_xyz(colour, light, degrees) for degrees in (2, 10))
        white = _white(colour, light, xyz)
        uv_10, d50 = (_u_v(one) for one in (xyz_10, _xyz(colour, illuminants()["D50"], 10)))
    return LampColour(
        xy=(float(xyz[0] / xyz.sum()), float(xyz[1] / xyz.sum())),
        uv_10=uv_10,
        from_d50=float(np.hypot(uv_10[0] - d50[0], uv_10[1] - d50[1])),
        ultraviolet=light.ultraviolet if light.first <= START else None,
        white=white,
    )


def _white(colour: ModuleType, light: Light, xyz: Array) -> WhiteLight | None:
    kelvin, duv = (float(value) for value in colour.temperature.XYZ_to_CCT_Ohno2013(xyz / 100))
    if not (_WARMEST <= kelvin <= _COOLEST and abs(duv) <= _FARTHEST):
        return None
    spectrum = colour.SpectralDistribution(light.power[_BEGIN:], _NM, name=light.name)
    rendering = colour.colour_rendering_index(spectrum, additional_data=True).Q_as
    return WhiteLight(
        kelvin=kelvin,
        duv=duv,
        rendering=tuple(float(rendering[sample].Q_a) for sample in range(1, 15)),
        fidelity=float(colour.colour_fidelity_index(spectrum, method="CIE 2017")),
        metamerism=_metamerism(colour, light),
    )


def _xyz(colour: ModuleType, light: Light, degrees: int) -> Array:
    """XYZ (3,) of the light itself, Y = 100."""
    matching = colour.MSDS_CMFS[_OBSERVERS[degrees]]  # 360 to 830 nm at 1 nm
    products = light.power @ np.asarray(matching.values)[: light.power.size]
    return np.asarray(products * (100 / products[1]))


def _u_v(xyz: Array) -> tuple[float, float]:
    """u', v' of CIE 1976."""
    X, Y, Z = xyz
    below = X + 15 * Y + 3 * Z
    return float(4 * X / below), float(9 * Y / below)


def _metamerism(colour: ModuleType, light: Light) -> float:
    """Index of the pair of greys: corrected multiplicatively in XYZ, CIE 1976."""
    wavelengths, pair = _greys()
    (dyes, flat), (dyes_d50, flat_d50) = (
        xyz_from_spectra(wavelengths, pair, one) / 100 for one in (light, None)
    )
    white = xyz_from_spectra(wavelengths, np.ones(wavelengths.size), light)
    found = colour.difference.XYZ_to_metamerism_index(
        dyes,
        flat,
        dyes_d50,
        flat_d50,
        correction="Multiplicative",
        method="CIE 1976",
        illuminant=white[:2] / white.sum(),
    )
    return float(found)


@cache
def _greys() -> tuple[Array, Array]:
    """Wavelengths (bands,) and reflectance factors (2, bands): composed of dyes, and flat."""
    density = sum(most * np.exp(-0.5 * ((_NM - peak) / width) ** 2) for most, peak, width in _DYES)
    return _NM, np.stack([10.0 ** -np.asarray(density), np.full(_NM.size, _FLAT)])
