"""How much of the published surface colours a gamut holds: of the outermost ones, and of the space inside."""

from dataclasses import dataclass

import numpy as np

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black
from evaluation.colorimetry.surface_colours import inside_surface_colours, surface_colours
from evaluation.profile.cells import Array
from evaluation.profile.hue_families import third
from evaluation.profile.mesh import Mesh
from evaluation.session import THIRDS


@dataclass(frozen=True, slots=True)
class SurfaceShare:
    """Shares, 0..1. `strongest` of the 576 outermost colours, `all_` of the space they enclose, L* 15 to 90;
    `thirds` of that space by third of L*.
    """

    strongest: float
    all_: float
    thirds: tuple[tuple[str, float], ...]


def surface_share(mesh: Mesh, black_y: float = 0.0) -> SurfaceShare:
    """How much of the surface colours lies inside `mesh`, media-relative CIELAB.

    `black_y`, 0..100, is the luminance of the gamut's black; theirs is mapped to it first.
    """
    strongest = surface_colours().reshape(-1, 3)
    filled, volume = inside_surface_colours()
    held = mesh.inside(_mapped(filled, black_y))
    part = third(filled)
    total = np.bincount(part, volume, minlength=len(THIRDS))
    kept = np.bincount(part, volume * held, minlength=len(THIRDS))
    return SurfaceShare(
        float(mesh.inside(_mapped(strongest, black_y)).mean()),
        float(kept.sum() / total.sum()),
        tuple((name, float(some / every)) for name, some, every in zip(THIRDS, kept, total, strict=True)),
    )


def _mapped(lab: Array, black_y: float) -> Array:
    return lab_from_xyz(map_black(xyz_from_lab(lab), 0.0, black_y)) if black_y else lab
