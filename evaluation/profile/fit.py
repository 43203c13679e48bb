"""How well a profile follows its profiling data, the readings it was made from."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import media_relative
from evaluation.profile.engine import Array, Profile, lab_from_device
from evaluation.profile.hue_families import FAMILIES, family

_PAPER: Final = {"RGB": 1.0, "GREY": 1.0, "CMYK": 0.0}  # device values of bare paper


@dataclass(frozen=True, slots=True)
class FitOf:
    """dE00 between profile and readings, over the patches of one hue family."""

    part: str
    median: float
    p95: float
    patches: int


@dataclass(frozen=True, slots=True)
class Fit:
    """dE00 between A2B1 and readings, each relative to its own paper: of all patches, and by hue family."""

    median: float
    p95: float
    patches: int
    parts: tuple[FitOf, ...]


def profile_fit(profile: Profile, device: Array, lab: Array) -> Fit | None:
    """A2B1(device) against readings of patches that were printed unmanaged; None when no row has both.

    Parameters
    ----------
    profile
        The profile.
    device : (n, channels)
        Device values, 0..1.
    lab : (n, 3)
        Absolute CIELAB for D50. Their paper is the patches without ink, else that of the profile.

    Raises
    ------
    ProfileProblem
        For device values of another space.
    """
    expected = lab_from_device(profile, device)
    bare = np.all(device == _PAPER[profile.contents.device_space], axis=1) & np.isfinite(lab).all(axis=1)
    paper = xyz_from_lab(lab[bare]).mean(axis=0) if bare.any() else D50_WHITE * profile.white_scale
    relative = lab_from_xyz(media_relative(xyz_from_lab(lab), paper))
    known = np.isfinite(np.concatenate([expected, relative], axis=1)).all(axis=1)
    if not known.any():
        return None
    off, part = delta_e_2000(expected[known], relative[known]), family(relative[known])
    parts = tuple(
        FitOf(name, *_summary(off[part == index]), int((part == index).sum()))
        for index, name in enumerate(FAMILIES)
        if (part == index).any()
    )
    return Fit(*_summary(off), int(known.sum()), parts)


def _summary(off: Array) -> tuple[float, float]:
    return float(np.median(off)), float(np.percentile(off, 95))
