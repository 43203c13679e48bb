"""The share of a picture that lies outside a profile's gamut.

Always colorimetric: from the picture's own space to media-relative CIELAB, with black point compensation
where the print has it; a colour more than 1 dE*ab from the surface of A2B1 is outside. What the profile's
tables lose of colours inside stands beside it, as the noise of the method.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black
from evaluation.profile.cells import Index
from evaluation.profile.engine import Array, Profile, predicted_lab, reachable_black
from evaluation.profile.gamut import OUTSIDE
from evaluation.profile.hue_families import FAMILIES, family, percentile, third
from evaluation.profile.mesh import Mask, Mesh
from evaluation.profile.picture_colours import PictureColours, Progress
from evaluation.session import THIRDS

_COLORIMETRIC: Final = "relative colorimetric"
_AT_ONCE: Final = 200_000
_MOST: Final = 100_000


@dataclass(frozen=True, slots=True)
class BlockSpread:
    """Median and 95th percentile of dE00 over blocks of the picture."""

    median: float
    p95: float


@dataclass(frozen=True, slots=True)
class Share:
    """How much of a picture lies outside a gamut; shares are of all its blocks, 0..1.

    Attributes
    ----------
    outside
        Further from the gamut than the given distance.
    too_dark
        Darker than the black, counted separately from `outside`; None with black point compensation.
    lost
        Of the blocks outside: dE00 to what the profile returns for them.
    families, thirds
        Where the outside part lies, by hue family and third of L*; each adds up to `outside`.
    noise
        Of the blocks inside: dE00 to what the profile returns, which its gamut does not explain.
    moved_by
        Median dE00 by which the perceptual table moves all blocks; None without such a table.
    """

    outside: float
    too_dark: float | None
    lost: BlockSpread | None
    families: tuple[tuple[str, float], ...]
    thirds: tuple[tuple[str, float], ...]
    noise: BlockSpread | None
    moved_by: float | None


def picture_share(
    profile: Profile,
    mesh: Mesh,
    picture: PictureColours,
    *,
    compensation: bool,
    distance: float = OUTSIDE,
    progress: Progress | None = None,
) -> Share:
    """How much of the picture lies further than `distance` dE*ab outside the `mesh` of the profile's gamut.

    Every cell is judged, unless the profile's own triangles lie in heaps; medians and percentiles come from
    at most 100,000 of them, evenly chosen. `progress(done, total, name)` may raise to stop.
    """
    black = reachable_black(profile, _COLORIMETRIC, black_compensation=compensation)
    lab, weight = picture.lab, picture.counts / picture.blocks
    if compensation:
        lab = lab_from_xyz(map_black(xyz_from_lab(lab), picture.black_y, xyz_from_lab(black)[1]))
    if (every := mesh.thinning(lab, distance)) > 1:
        lab, weight = lab[::every], weight[::every] / weight[::every].sum()
    outside = ~np.concatenate(list(_judged(mesh, lab, distance, profile.contents.name, progress)))
    dark = np.zeros_like(outside) if compensation else outside & (lab[:, 0] < black[0])
    outside &= ~dark
    return Share(
        outside=float(weight[outside].sum()),
        too_dark=None if compensation else float(weight[dark].sum()),
        lost=_returned(profile, lab, weight, outside),
        families=_by_name(FAMILIES, family(lab[outside]), weight[outside]),
        thirds=_by_name(THIRDS, third(lab[outside]), weight[outside]),
        noise=_returned(profile, lab, weight, ~(outside | dark)),
        moved_by=_moved_by(profile, lab, weight, compensation),
    )


def _judged(mesh: Mesh, lab: Array, distance: float, name: str, progress: Progress | None) -> Iterator[Mask]:
    for start in range(0, len(lab), _AT_ONCE):
        if progress:
            progress(start, len(lab), name)
        yield mesh.within(lab[start : start + _AT_ONCE], distance)
    if progress:
        progress(len(lab), len(lab), name)


def _returned(profile: Profile, lab: Array, weight: Array, chosen: Mask) -> BlockSpread | None:
    """dE00 between the chosen cells and what the profile returns for them by its colorimetric table."""
    rows = _some(np.flatnonzero(chosen))
    if not len(rows):
        return None
    returned = predicted_lab(profile, lab[rows], _COLORIMETRIC, black_compensation=False)
    off = delta_e_2000(lab[rows], returned)
    return BlockSpread(percentile(off, weight[rows], 0.5), percentile(off, weight[rows], 0.95))


def _moved_by(profile: Profile, lab: Array, weight: Array, compensation: bool) -> float | None:
    if "perceptual" not in profile.contents.intents:
        return None
    rows = _some(np.arange(len(lab)))
    rendered = predicted_lab(profile, lab[rows], "perceptual", black_compensation=compensation)
    return percentile(delta_e_2000(lab[rows], rendered), weight[rows], 0.5)


def _some(rows: Index) -> Index:
    return rows[:: -(-len(rows) // _MOST)] if len(rows) else rows


def _by_name(names: tuple[str, ...], index: Index, weight: Array) -> tuple[tuple[str, float], ...]:
    sums = np.bincount(index, weight, minlength=len(names))
    return tuple((name, float(value)) for name, value in zip(names, sums, strict=True))
