"""Which neutral a sheet's greys are compared with: an aim of `colorimetry.grey`, or the map's own tone."""

from typing import Final

import numpy as np

from evaluation.colorimetry import grey
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.metrics.evidence import Array
from evaluation.metrics.limits import Limits
from evaluation.metrics.pool import Pool
from evaluation.sheet.layout import NeutralAim, Sheet

_NEUTRAL_KINDS: Final = ("neutral", "mono_neutral")


def grey_aim(
    name: NeutralAim, lightness: Array, paper: Array, darkest: float, limits: Limits, curve: Array | None
) -> Array:
    """(..., n, 2) aimed a*, b* of greys at absolute L* (..., n) on a paper of CIELAB (..., 3).

    `darkest` is the L* where the aim "line" ends, `curve` (m, 3) the CIELAB of the aim "toned"; without one,
    that aim is "paper".
    """
    match name:
        case "absolute":
            return grey.absolute_aim(lightness)
        case "line":
            return grey.line_aim(lightness, paper, darkest, limits.line_factor)
        case "toned" if curve is not None and len(curve):
            return grey.toned_aim(lightness, curve)
    return grey.paper_aim(lightness, paper)


def own_curve(sheet: Sheet, source: Array) -> Array | None:
    """(m, 3) CIELAB of the map's own tone, L* rising: the aims of its greys, paper and black; else None."""
    if sheet.neutral_aim != "toned":
        return None
    kinds = {region.id for region in sheet.regions if region.kind in _NEUTRAL_KINDS}
    rows = [k for k, patch in enumerate(sheet.patches) if patch.region in kinds or patch.role != "field"]
    curve = source[rows]
    curve = curve[np.isfinite(curve).all(axis=-1)]
    rising: Array = curve[np.argsort(curve[:, 0])]
    return rising


def darkest(pool: Pool) -> float:
    """Absolute L* of the darkest patch that was read, where the grey aim "line" ends."""
    return float(np.nanmin(lab_from_xyz(pool.xyz)[:, 0]))
