"""Weights that turn spectra on any grid into tristimulus values (ASTM E2022, tables of ASTM E308).

Measured values are interpolated to 1 nm by Lagrange polynomials, of third order between two values on either
side, of second order in the first and last interval, and summed with the 1 nm products of light source and
observer. Interpolation is linear in the values, so it amounts to one weight per band. At 10 and 20 nm these
are exactly the weights of ASTM E2022; 5 nm, 3.33 nm and uneven grids follow the same rule. Beyond the first
and last band the value there is held: the practice of ASTM E308 (7.3) of adding unused outer weights to the
first and last one.

Bandpass is not corrected: that is the table ISO 13655 asks for. Our own, because colour-science has these
tables for steps of whole nanometres only, and instruments read at thirds too. At 1, 5, 10 and 20 nm the two
give the same CIELAB to 2e-13 (`second_opinion`).
"""

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.errors import FileProblem
from evaluation.published.passport import load_table

Array = NDArray[np.float64]

START: Final = 360  # nm, the range of ASTM E308
END: Final = 780
FIRST_NEEDED: Final = 400.0  # nm; a spectrum that begins later lacks visible weight
LAST_NEEDED: Final = 680.0
WIDEST_STEP: Final = 20.0  # nm, the coarsest tables of ASTM E308


def observer() -> Array:
    """(421, 3) colour-matching functions of the CIE 1931 2 degree observer at 360, 361 .. 780 nm."""
    return _matching("observer-1931.csv")


def wide_observer() -> Array:
    """(421, 3), the same of the CIE 1964 10 degree observer."""
    return _matching("observer-1964.csv")


@cache
def _matching(name: str) -> Array:
    table = load_table("evaluation.published", name)
    matching = np.column_stack([table.numbers(name) for name in ("x", "y", "z")])
    matching.flags.writeable = False
    return matching


def weights(products: ArrayLike, wavelengths: ArrayLike) -> Array:
    """Weights for spectra at `wavelengths`.

    Parameters
    ----------
    products : (421, k)
        Light source times response at 360, 361 .. 780 nm.
    wavelengths : (bands,)
        nm, rising, covering 400 to 680 nm, steps of at most 20 nm.

    Returns
    -------
    (bands, k); each column sums to the sum of its products.

    Raises
    ------
    FileProblem
        When the wavelengths do not rise, do not cover 400 to 680 nm or leave gaps of more than 20 nm.
    """
    bands = checked(wavelengths)
    below, above = _steps_outside(bands)
    grid = np.concatenate(
        [
            bands[0] - (bands[1] - bands[0]) * np.arange(below, 0, -1),
            bands,
            bands[-1] + (bands[-1] - bands[-2]) * np.arange(1, above + 1),
        ]
    )
    full = interpolation(grid, np.arange(START, END + 1.0)).T @ np.asarray(products, np.float64)
    folded = full[below : below + bands.size].copy()
    folded[0] += full[:below].sum(axis=0)
    folded[-1] += full[below + bands.size :].sum(axis=0)
    return folded


def checked(wavelengths: ArrayLike) -> Array:
    """The wavelengths as an array (bands,), nm. Raises FileProblem as `weights`."""
    bands = np.asarray(wavelengths, np.float64)
    steps = np.diff(bands)
    if bands.ndim != 1 or bands.size < 3 or not (np.isfinite(bands).all() and (steps > 0).all()):
        raise _refused("wavelengths that rise from band to band", f"{bands.size} bands that do not")
    if bands[0] > FIRST_NEEDED or bands[-1] < LAST_NEEDED:
        raise _refused(
            f"bands from {FIRST_NEEDED:g} to {LAST_NEEDED:g} nm or beyond",
            f"{bands[0]:g} to {bands[-1]:g} nm",
        )
    # A grid of thirds of a nanometre is often written with two or three decimals.
    if (widest := float(steps.max())) > WIDEST_STEP + 0.01:
        raise _refused(f"bands at most {WIDEST_STEP:g} nm apart", f"a gap of {widest:g} nm")
    return bands


def interpolation(nodes: Array, at: Array) -> Array:
    """The matrix (at, nodes) that interpolates values on `nodes`, at least 3 and rising, to the places `at`.

    Third order between two nodes on either side, second order in the first and last interval and beyond.
    """
    interval = np.clip(np.searchsorted(nodes, at, side="right") - 1, 0, nodes.size - 2)
    matrix = np.zeros((at.size, nodes.size))
    first, last = interval == 0, interval == nodes.size - 2
    for rows, start, order in (
        (~first & ~last, interval - 1, 4),
        (first, np.zeros_like(interval), 3),
        (last & ~first, np.full_like(interval, nodes.size - 3), 3),
    ):
        columns = start[rows, None] + np.arange(order)
        matrix[np.flatnonzero(rows)[:, None], columns] = _lagrange(at[rows], nodes[columns])
    return matrix


def _steps_outside(bands: Array) -> tuple[int, int]:
    below = np.ceil((bands[0] - START) / (bands[1] - bands[0]) - 1e-9)
    above = np.ceil((END - bands[-1]) / (bands[-1] - bands[-2]) - 1e-9)
    return max(0, int(below)), max(0, int(above))


def _lagrange(at: Array, nodes: Array) -> Array:
    """(n, order) Lagrange coefficients of each place `at` (n,) over its own nodes (n, order)."""
    coefficients = np.ones_like(nodes)
    for j in range(nodes.shape[1]):
        for m in range(nodes.shape[1]):
            if m != j:
                coefficients[:, j] *= (at - nodes[:, m]) / (nodes[:, j] - nodes[:, m])
    return coefficients


def _refused(expected: str, found: str) -> FileProblem:
    return FileProblem(
        "No colour was calculated from the spectra.",
        expected=expected,
        found=found,
        remedy="Export spectra of the whole visible range, or CIELAB.",
    )
