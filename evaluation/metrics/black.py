"""Facts about the black and the paper that are shown and never graded, since each means little by itself.

Density is visual density (ISO 5-3, illuminant A), absolute. It compares only within one instrument and one
measurement condition: M3 reads deeper than M0 to M2, and instruments differ by 0.05 to 0.1 above D 2.2.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from evaluation.colorimetry.density import BOOTH_FLARES, density_from_y, effective_density, visual_density
from evaluation.colorimetry.flatness import Flatness
from evaluation.colorimetry.flatness import spectral_flatness as flat
from evaluation.colorimetry.lab import lab_from_xyz, luminance_slope
from evaluation.errors import FileProblem
from evaluation.metrics.evidence import Array
from evaluation.metrics.patch_spectra import WITH_ULTRAVIOLET, WITHOUT_ULTRAVIOLET, spectral
from evaluation.metrics.pool import Pool
from evaluation.published.limits import limit
from evaluation.readings.run import Taken
from evaluation.sheet.layout import Sheet

_DEEP: Final = limit("density_deep")

_INSTRUMENTS_DIFFER: Final = "Instruments differ here by 0.05 to 0.1."
_NO_LIGHT: Final = "No print gives back no light at all: read it again."

DensityBasis = Literal["spectra", "Y"]


@dataclass(frozen=True, slots=True)
class Black:
    """The patch printed from source black.

    L                absolute L*
    d_max, d_range   density, and density above that of the paper
    d_spread         one standard error of the density, from the repeats in L*
    effective        density seen under 0.5 % and 1 % of flare
    basis            whether density is from spectra or from Y
    darkest          name of a patch of another source that is darker than repeats explain (a warning), or ""
    note             what limits the number, a sentence or ""
    """

    L: float
    d_max: float
    d_range: float
    d_spread: float
    effective: tuple[float, float]
    basis: DensityBasis
    darkest: str
    note: str


def densities(sheet: Sheet, takens: Sequence[Taken], pool: Pool) -> tuple[Array, DensityBasis]:
    """Visual density (m,) of every patch of the sheet, nan where not read, and its basis: spectra, else Y."""
    found = spectral(sheet, takens, WITH_ULTRAVIOLET)
    if found is None:
        return np.asarray(density_from_y(pool.xyz[:, 1])), "Y"
    values = np.full(len(sheet.patches), np.nan)
    for k, patch in enumerate(sheet.patches):
        mean = found.mean(patch.id)
        if mean is not None:
            values[k] = float(visual_density(found.wavelengths, mean))
    return values, "spectra"


def black(sheet: Sheet, takens: Sequence[Taken], pool: Pool) -> Black | None:
    """The facts of the black; None where the map names no black patch, or it was not read."""
    row = next((k for k, patch in enumerate(sheet.patches) if patch.role == "black"), None)
    if row is None or pool.counts[row] == 0:
        return None
    values, basis = densities(sheet, takens, pool)
    paper = float(density_from_y(pool.bare[1])) if basis == "Y" else _paper_density(sheet, values, pool)
    d_max = float(values[row])
    L = float(lab_from_xyz(pool.xyz[row])[0])
    of_lightness = float(np.sqrt(pool.covariance[row, 0, 0] / pool.counts[row]))
    luminance = float(pool.xyz[row, 1]) / 100  # dD = 0.434 dY / Y
    spread = 0.434 * float(luminance_slope(L)) * of_lightness / luminance if luminance > 0 else np.inf
    return Black(
        L=L,
        d_max=d_max,
        d_range=d_max - paper,
        d_spread=float(spread),
        effective=(
            float(effective_density(d_max, BOOTH_FLARES[0])),
            float(effective_density(d_max, BOOTH_FLARES[1])),
        ),
        basis=basis,
        darkest=_darker(sheet, values, row, float(spread)),
        note=_NO_LIGHT if np.isinf(d_max) else _INSTRUMENTS_DIFFER if d_max > _DEEP else "",
    )


def spectral_flatness(
    sheet: Sheet, takens: Sequence[Taken], patch_id: str, *, of_paper: bool
) -> Flatness | None:
    """Flatness of one patch, 430-680 nm, from M2 where it was read; None without such spectra.

    `of_paper`: divide by the paper, whose spectrum greys inherit; the black is taken as read.
    """
    found = spectral(sheet, takens, WITHOUT_ULTRAVIOLET)
    if found is None or patch_id not in found.readings:
        return None
    try:
        return flat(found.wavelengths, found.readings[patch_id], found.paper if of_paper else None)
    except FileProblem:  # the bands do not cover it
        return None


def _darker(sheet: Sheet, values: Array, black: int, spread: float) -> str:
    """The name of the darkest patch of another source, where it is darker than repeats explain; else ""."""
    source = sheet.patches[black].source
    others = [
        k
        for k, patch in enumerate(sheet.patches)
        if np.isfinite(values[k]) and (source is None or patch.source != source)
    ]
    if not others:
        return ""
    darkest = max(others, key=lambda k: float(values[k]))
    beyond = values[darkest] - values[black] > 2 * np.sqrt(2) * spread
    return sheet.patches[darkest].name if beyond else ""


def _paper_density(sheet: Sheet, values: Array, pool: Pool) -> float:
    papers = [k for k, patch in enumerate(sheet.patches) if patch.role == "paper" and np.isfinite(values[k])]
    return float(np.mean(values[papers])) if papers else float(density_from_y(pool.bare[1]))
