"""What profiling data show of a printer: its paper, its black, the run of its greys.

Profiling data are readings of a chart of device values, printed unmanaged. They do not judge a picture; they
show what this paper, setting and ink can do, and two sets of them show whether the machine has moved.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.brightener import LIT, Brightener, Lit, brightener
from evaluation.colorimetry.flatness import Flatness, spectral_flatness
from evaluation.colorimetry.grey import paper_aim
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.errors import FileProblem
from evaluation.published.limits import limit
from evaluation.readings.colours import colours
from evaluation.readings.density_range import (
    DensityRange,
    density_range_of_device,
    device_black,
    device_paper,
)
from evaluation.readings.repeat_limits import repeats
from evaluation.readings.run import Array, Condition, Repeats, Run

# Paper and greys are taken as the booth shows them, flatness where no optical brightener glows.
_SEEN: Final[tuple[Condition | None, ...]] = ("M1", "M0", None, "M2", "M3")
_FLAT: Final[tuple[Condition | None, ...]] = ("M2", "M0", "M1", None)
_ALIKE: Final = 1e-3  # device values of a grey, of full; files write at least three digits
_LEAST_STEPS: Final = 3
_DARKEST_L: Final = limit("chart_grey_darkest")


@dataclass(frozen=True, slots=True, eq=False)
class GreyRow:
    """The k patches of equal device values, from black to paper; repeated readings of a step are averaged.

    level       (k,) 0 = full ink, 1 = no ink, rising
    lab         (k, 3) CIELAB for D50, absolute
    from_paper  (k,) dCh from the paper's own colour at that lightness
    falls       how many steps are darker than the one before them
    """

    level: Array
    lab: Array
    from_paper: Array
    falls: int

    @property
    def judged(self) -> NDArray[np.intp]:
        """Indices of the steps light enough for a cast to exceed noise, the paper left out."""
        L = self.lab[:, 0] * 100 / max(float(self.lab[-1, 0]), 1.0)
        return np.flatnonzero((L >= _DARKEST_L) & (self.level < 1.0))


@dataclass(frozen=True, slots=True, eq=False)
class ChartFacts:
    """Facts of one set of profiling data, from its runs under one or more measurement conditions.

    run         the run that the other facts are from, unless they say otherwise
    files       that its runs came from
    conditions  of all its runs
    patches     how many different ones
    depth       paper, black and density range
    black       (3,) CIELAB for D50 of the patch of full ink; None without one
    given       visual density of the black as the instrument gave it, and its status, ISO 5-3; None each
    flatness    of the black's spectrum; None without spectra
    greys       None where fewer than three patches have equal device values
    whitener    the effect of optical brightener: M2 minus M1 of the bare paper, or minus M0 for want of M1
    lit_by      which of these two it was; None, as `whitener`, where the paper was not read under both
    repeats     of patches that were read more than once
    """

    run: Run
    files: tuple[str, ...]
    conditions: tuple[str, ...]
    patches: int
    depth: DensityRange
    black: Array | None
    given: tuple[float | None, str | None]
    flatness: Flatness | None
    greys: GreyRow | None
    whitener: Brightener | None
    lit_by: Lit | None
    repeats: Repeats


def _given(run: Run, rows: Sequence[int]) -> tuple[float | None, str | None]:
    if run.densities is None or not rows:
        return None, None
    return run.densities.mean("visual", rows), run.densities.status


def chart_facts(runs: Sequence[Run]) -> ChartFacts:
    """Facts of profiling data, from their runs, at least one.

    Raises FileProblem when the run has no usable colour.
    """
    seen = best(runs, _SEEN)
    assert seen is not None and seen.device is not None
    lab = colours(seen).lab_d50
    places: dict[tuple[float, ...], list[int]] = {}
    for row, values in enumerate(np.round(seen.device, 4).tolist()):
        places.setdefault(tuple(values), []).append(row)
    black = device_black(seen)
    glows = ((by, found) for by in LIT if (found := _whitener(runs, by)) is not None)
    lit_by, glow = next(glows, (None, None))
    return ChartFacts(
        run=seen,
        files=tuple(dict.fromkeys(run.source_name for run in runs)),
        conditions=tuple(dict.fromkeys(run.stated.condition or "not stated" for run in runs)),
        patches=len(places),
        depth=density_range_of_device(seen),
        black=lab[black].mean(axis=0) if black else None,
        given=_given(seen, black),
        flatness=_flatness(runs),
        greys=grey_row(seen),
        whitener=glow,
        lit_by=lit_by,
        repeats=repeats(lab, map(tuple, places.values())),
    )


def best(runs: Sequence[Run], order: Sequence[Condition | None] = _SEEN) -> Run | None:
    """The run whose measurement condition comes first in `order`, the largest of several; or None."""
    for condition in order:
        found = [run for run in runs if run.stated.condition == condition]
        if found:
            return max(found, key=len)
    return None


def grey_row(run: Run) -> GreyRow | None:
    """The steps of equal RGB or grey values, of CMYK those of black ink alone.

    None for other spaces, without device values, and below three steps. Raises FileProblem as `colours`.
    """
    if run.device is None:
        return None
    if run.device_space == "CMYK":
        rows = np.flatnonzero((run.device[:, :3] <= _ALIKE).all(axis=1))
        levels = 1.0 - run.device[:, 3]
    elif run.device_space in ("RGB", "GREY"):
        rows = np.flatnonzero(np.ptp(run.device, axis=1) <= _ALIKE)
        levels = run.device.mean(axis=1)
    else:
        return None
    xyz = colours(run).xyz_d50
    steps = np.unique(np.round(levels[rows], 3))
    if len(steps) < _LEAST_STEPS:
        return None
    mean = np.array([xyz[rows[np.abs(levels[rows] - step) <= _ALIKE]].mean(axis=0) for step in steps])
    lab = lab_from_xyz(mean)
    off = lab[:, 1:] - paper_aim(lab[:, 0], lab[-1])
    return GreyRow(steps, lab, np.hypot(off[:, 0], off[:, 1]), int((np.diff(lab[:, 0]) < 0).sum()))


def _flatness(runs: Sequence[Run]) -> Flatness | None:
    run = best([run for run in runs if run.spectra is not None], _FLAT)
    if run is None or run.spectra is None or run.wavelengths is None or not (rows := device_black(run)):
        return None
    try:
        return spectral_flatness(run.wavelengths, run.spectra[rows])
    except FileProblem:  # the bands do not cover it
        return None


def _whitener(runs: Sequence[Run], lit_by: Lit) -> Brightener | None:
    """M2 of the bare paper, minus the same with ultraviolet."""
    with_it, without = best(runs, (lit_by,)), best(runs, ("M2",))
    if with_it is None or without is None:
        return None
    rows = device_paper(with_it), device_paper(without)
    if not all(rows):
        return None
    labs = [colours(run).lab_d50[at].mean(axis=0) for run, at in zip((with_it, without), rows, strict=True)]
    nm, other = with_it.wavelengths, without.wavelengths
    if nm is None or other is None or with_it.spectra is None or without.spectra is None:
        return brightener(labs[0], labs[1])
    if not np.array_equal(nm, other):
        return brightener(labs[0], labs[1])
    glow, still = with_it.spectra[rows[0]].mean(axis=0), without.spectra[rows[1]].mean(axis=0)
    return brightener(labs[0], labs[1], nm, glow, still)
