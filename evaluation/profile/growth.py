"""How far one setting's gamut reaches beyond another's: outwards from the surface, never along L* or C*.

A ray at fixed lightness and hue grazes the surface: there one sheet differs from another of the same setting
by several C*ab where the surface itself has moved by a tenth. So the same device values are held against each
other along the outward normal of the base's surface, and averaged in six hues and three thirds of L*.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.colorimetry.lab import chroma, hue
from evaluation.profile.cells import Array, Index
from evaluation.profile.engine import Profile
from evaluation.profile.gamut import gamut_mesh
from evaluation.profile.hue_families import FAMILIES, third
from evaluation.profile.mesh import Mesh
from evaluation.profile.surface_patches import normals_at, on_surface, patch_mesh
from evaluation.session import THIRDS

SECTORS: Final = FAMILIES[1:]  # six hues, of 60 degrees each
SHAPE: Final = len(SECTORS), len(THIRDS)
CELLS: Final = len(SECTORS) * len(THIRDS)
_NODES: Final = 17  # along an edge of a profile's device space: as many as tell a cell's mean


@dataclass(frozen=True, slots=True, eq=False)
class Growth:
    """dE*ab outwards, the other setting less the base.

    cells    (6, 3) means, a row a hue, a column a third of L*; nan where no colour of the surface lies
    counts   (6, 3) colours behind each
    mean     over all colours counted, however they fall into cells
    """

    cells: Array
    counts: Index
    mean: float


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """The surface of one setting as read: device values (n, 3), CIELAB (n, 3), the mesh that they span."""

    device: Array
    lab: Array
    mesh: Mesh


def surface_of(device: Array, lab: Array) -> Surface | None:
    """The surface that readings (n, 3) of RGB values (n, 3) show, each value once; None where it has gaps."""
    rows = on_surface(device)
    mesh = patch_mesh(device[rows], lab[rows])
    return None if mesh is None else Surface(device[rows], lab[rows], mesh)


def measured(base: Surface, lab: Array, least_chroma: float) -> Growth:
    """Growth of the patches of `base`, read as `lab` (n, 3) in the other setting; nan: not read there."""
    outward = np.einsum("ij,ij->i", lab - base.lab, normals_at(base.mesh, base.device))
    return _by_cell(base.lab, outward, least_chroma)


def promised(base: Mesh, other: Profile, least_chroma: float) -> Growth | None:
    """Growth from profiles alone: how far the other's surface lies outside that of the base.

    None where the other encloses nothing. The making of both profiles is in it.
    """
    mesh = gamut_mesh(other, _NODES)
    return None if mesh is None else _by_cell(mesh.corners, base.outward(mesh.corners), least_chroma)


def cell_of(lab: Array, least_chroma: float) -> Index:
    """(n,) the cell of each colour (n, 3), 0..17, a hue after the other, dark to light; -1: too grey."""
    place: Index = (hue(lab) // (360 / len(SECTORS))).astype(np.intp) * len(THIRDS) + third(lab)
    return np.where(chroma(lab) > least_chroma, place, -1)


def _by_cell(lab: Array, outward: Array, least_chroma: float) -> Growth:
    cell = cell_of(lab, least_chroma)
    counted = (cell >= 0) & np.isfinite(outward)
    counts = np.bincount(cell[counted], minlength=CELLS)
    sums = np.bincount(cell[counted], outward[counted], minlength=CELLS)
    means = np.divide(sums, counts, out=np.full(CELLS, np.nan), where=counts > 0)
    mean = float(outward[counted].mean()) if counted.any() else float("nan")
    return Growth(means.reshape(SHAPE), counts.reshape(SHAPE), mean)
