"""Paper and black of a run: D-min, D-max and the density range between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.density import BOOTH_FLARES, density_from_y, effective_density, visual_density
from evaluation.plain_text import visible
from evaluation.published.limits import limit
from evaluation.readings.colours import colours
from evaluation.readings.run import Array, Run

_SAME: Final = 1e-6  # of full device value
_INSTRUMENTS_DIFFER: Final = limit("density_instruments")


@dataclass(frozen=True, slots=True, eq=False)
class DensityRange:
    """Visual densities of a run (ISO 5-3), absolute; two decimals are worth showing.

    Attributes
    ----------
    paper_lab : (3,)
        Mean CIELAB for D50 of the unprinted patches; None without one.
    d_min, d_max, d_range
        Density of the paper, of the patch printed from source black, and their difference; None where a patch
        is missing.
    spread
        Standard deviation of repeated readings of the black; None below two.
    seen
        (flare, density) of the black under a veil of light of that share of white.
    darkest, darkest_density, darkest_is_black
        Name and density of the darkest patch, and whether it is the black itself.
    basis
        What the densities were calculated from.
    remarks
        What limits them, a phrase each.
    """

    paper_lab: Array | None
    d_min: float | None
    d_max: float | None
    d_range: float | None
    spread: float | None
    seen: tuple[tuple[float, float], ...]
    darkest: str
    darkest_density: float
    darkest_is_black: bool
    basis: str
    remarks: tuple[str, ...]


def density_range_of_device(run: Run) -> DensityRange:
    """The range of a run with device values. Raises FileProblem as `colours`."""
    return density_range(run, device_paper(run), device_black(run))


def device_paper(run: Run) -> list[int]:
    """Indices of the rows without any ink."""
    if run.device is None:
        return []
    light = run.device_space in ("RGB", "GREY")
    return np.flatnonzero(_at(run.device, 1.0 if light else 0.0).all(axis=1)).tolist()


def device_black(run: Run) -> list[int]:
    """Indices of the rows of RGB or grey 0; of CMYK with all four inks full, else of full black alone."""
    if run.device is None:
        return []
    if run.device_space in ("RGB", "GREY"):
        return np.flatnonzero(_at(run.device, 0.0).all(axis=1)).tolist()
    if run.device_space != "CMYK":
        return []
    full, none = _at(run.device, 1.0), _at(run.device, 0.0)
    alone = full[:, 3] & none[:, :3].all(axis=1)
    return np.flatnonzero(full.all(axis=1)).tolist() or np.flatnonzero(alone).tolist()


def _at(device: Array, value: float) -> NDArray[np.bool_]:
    return np.abs(device - value) <= _SAME


def density_range(run: Run, paper: Sequence[int], black: Sequence[int]) -> DensityRange:
    """The range of a run whose unprinted rows and rows of source black are known, by their indices.

    Raises FileProblem as `colours`.
    """
    found = colours(run)
    if found.basis == "spectra" and run.wavelengths is not None and run.spectra is not None:
        density, basis = visual_density(run.wavelengths, run.spectra), "ISO 5-3 visual, from spectra"
    else:
        density, basis = density_from_y(found.xyz_d50[:, 1]), "from Y for D50: right for greys only"
    d_min = float(density[list(paper)].mean()) if paper else None
    d_max = float(density[list(black)].mean()) if black else None
    deepest = int(density.argmax())
    return DensityRange(
        paper_lab=found.lab_d50[list(paper)].mean(axis=0) if paper else None,
        d_min=d_min,
        d_max=d_max,
        d_range=d_max - d_min if d_max is not None and d_min is not None else None,
        spread=float(density[list(black)].std(ddof=1)) if len(black) > 1 else None,
        seen=tuple((flare, float(effective_density(d_max, flare))) for flare in BOOTH_FLARES)
        if d_max is not None
        else (),
        darkest=_name(run, deepest),
        darkest_density=float(density[deepest]),
        darkest_is_black=deepest in black,
        basis=basis,
        remarks=tuple(_remarks(run, d_max, float(density[deepest]), _name(run, deepest), deepest in black)),
    )


def _name(run: Run, row: int) -> str:
    return visible(run.patches[row].name or run.patches[row].id)


def _remarks(run: Run, d_max: float | None, deepest: float, name: str, is_black: bool) -> list[str]:
    remarks = []
    if d_max is None:
        remarks.append("no patch printed from source black was read")
    elif not is_black and deepest > d_max + 0.005:
        remarks.append(f"another patch is darker than the black: {name}, D {deepest:.2f}")
    if max(d_max or 0.0, deepest) > _INSTRUMENTS_DIFFER:
        remarks.append("instruments differ by 0.05 to 0.1 at this density")
    if run.stated.condition == "M3":
        remarks.append("M3 suppresses surface reflection and reads deeper: not comparable with M0, M1 or M2")
    if run.stated.condition is None:
        remarks.append("measurement condition not stated")
    if run.stated.backing is None:
        remarks.append("backing not stated")
    return remarks
