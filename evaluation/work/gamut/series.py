"""Settings of one printer and paper in their order: growth as read, else as profiles promise it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import media_relative
from evaluation.judgement import growing
from evaluation.judgement.settings_in_order import Series, Setting, SettingStep, pairs
from evaluation.judgement.several import limit
from evaluation.profile.engine import Profile, reachable_black
from evaluation.profile.growth import CELLS, Surface, measured, promised, surface_of
from evaluation.profile.mesh import Mesh
from evaluation.profile.surface_patches import on_surface
from evaluation.profile.surface_share import surface_share
from evaluation.readings.each_patch import aligned, each_patch
from evaluation.readings.run import Array, Run

LEVELS: Final = np.arange(5.0, 100.0, 5.0)  # L* at which a slice is drawn
HUES: Final = tuple(range(30, 360, 60))  # degrees, the middle of each of the six hues

_PAPER: Final = np.ones((1, 3))


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """What is at hand of one setting: its profile with its surface, and a run of each of its sheets."""

    name: str
    session: int | None
    profile: Profile | None
    mesh: Mesh | None
    outside: float | None
    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Read:
    """A setting as read: the surface that the mean of its sheets spans."""

    surface: Surface
    sheets: int


def series(
    known: Sequence[Known],
    groups: Iterable[Sequence[Run]],
    *,
    sheet_mean: float,
    picture: str = "",
    compensation: bool = True,
) -> Series | None:
    """The settings as a series; None where neither readings nor profiles of all of them can be compared.

    Parameters
    ----------
    known
        The settings in their order, the first as base.
    groups
        Sheets of one setting each, of this printer: what they differ by is the limit of what is measured.
    sheet_mean
        dE*ab that sheets differ by, where too few were read.
    """
    read = _read(known)
    if read is not None:
        return _of_readings(known, read, groups, sheet_mean, picture)
    if any(one.profile is None or one.mesh is None for one in known):
        return None
    remarks = ["Profile making included, sheet spread unknown."]
    if all(one.runs for one in known):
        remarks.append(
            f"The readings share fewer than {limit('growth_patches'):g} patches of the RGB cube's faces."
        )
    steps = []
    for base, to in pairs(len(known)):
        mesh, profile = known[base].mesh, known[to].profile
        assert mesh is not None and profile is not None
        growth = promised(mesh, profile, limit("growth_chroma"))
        if growth is None:
            return None
        steps.append(SettingStep(base, to, growth, None, growing.words(growth, None)))
    settings = tuple(_of_profile(one, compensation) for one in known)
    return Series(settings, tuple(steps), 0, None, picture, tuple(LEVELS.tolist()), tuple(remarks))


def _read(known: Sequence[Known]) -> list[_Read] | None:
    """Every setting over the patches that all sheets share; None where those are too few."""
    sheets = [[each_patch(run) for run in one.runs] for one in known]
    if not all(sheets):
        return None
    shared = sheets[0][0][0]
    shared = shared[on_surface(shared)]
    for device, lab in (sheet for of_one in sheets for sheet in of_one):
        shared = shared[np.isfinite(aligned(device, lab, shared)).all(axis=1)]
    if len(shared) < limit("growth_patches"):
        return None
    found = []
    for of_one in sheets:
        lab = np.mean([aligned(device, lab, shared) for device, lab in of_one], axis=0)
        surface = surface_of(shared, lab)
        if surface is None:
            return None
        found.append(_Read(surface, len(of_one)))
    return found


def _of_readings(
    known: Sequence[Known],
    read: Sequence[_Read],
    groups: Iterable[Sequence[Run]],
    sheet_mean: float,
    picture: str,
) -> Series:
    sheets = growing.sheets_of([deviations(group) for group in groups if len(group) > 1], sheet_mean)
    steps = []
    for base, to in pairs(len(known)):
        growth = measured(read[base].surface, read[to].surface.lab, limit("growth_chroma"))
        at_most = growing.limits(sheets, read[base].sheets, read[to].sheets)
        steps.append(SettingStep(base, to, growth, at_most, growing.words(growth, at_most)))
    settings = tuple(_as_read(one, each) for one, each in zip(known, read, strict=True))
    remarks = list(dict.fromkeys(_unlike(known)))
    return Series(
        settings,
        tuple(steps),
        len(read[0].surface.lab),
        sheets,
        picture,
        tuple(LEVELS.tolist()),
        tuple(remarks),
    )


def deviations(runs: Sequence[Run]) -> Array:
    """(k, 18) growth of each of k sheets of a setting from their mean; no rows where too little is shared."""
    sheets = [each_patch(run) for run in runs]
    shared = sheets[0][0][on_surface(sheets[0][0])]
    for device, lab in sheets:
        shared = shared[np.isfinite(aligned(device, lab, shared)).all(axis=1)]
    if len(shared) < limit("growth_patches"):
        return np.empty((0, CELLS))
    labs = [aligned(device, lab, shared) for device, lab in sheets]
    mean = surface_of(shared, np.mean(labs, axis=0))
    if mean is None:
        return np.empty((0, CELLS))
    return np.array([measured(mean, lab, limit("growth_chroma")).cells.ravel() for lab in labs])


def _unlike(known: Sequence[Known]) -> Iterable[str]:
    """Circumstances of the measurement that differ between settings, which growth would be mistaken for."""
    first = known[0].runs[0].stated
    for one in known[1:]:
        for what in ("condition", "backing", "geometry", "instrument"):
            before, now = getattr(first, what), getattr(one.runs[0].stated, what)
            if before and now and before != now:
                yield f"Read otherwise: {what} {before} for {known[0].name}, {now} for {one.name}."


def _as_read(one: Known, read: _Read) -> Setting:
    """Slices as read; shares of surface colours on the paper as white."""
    mesh = read.surface.mesh
    paper = aligned(read.surface.device, read.surface.lab, _PAPER)[0]
    if np.isfinite(paper).all():
        relative = lab_from_xyz(media_relative(xyz_from_lab(mesh.corners), xyz_from_lab(paper)))
        mesh = replace(mesh, corners=relative)
    black = float(np.clip(xyz_from_lab(mesh.corners)[:, 1].min(), 0, 50))
    outlines = _outlines(read.surface.mesh)
    share = surface_share(mesh, black)
    return Setting(one.name, one.session, read.sheets, outlines, one.outside, share, read.surface.mesh.volume)


def _of_profile(one: Known, compensation: bool) -> Setting:
    assert one.profile is not None and one.mesh is not None
    black = reachable_black(one.profile, "relative colorimetric", black_compensation=compensation)
    share = surface_share(one.mesh, float(np.clip(xyz_from_lab(black)[1], 0, 50)))
    return Setting(one.name, one.session, 0, _outlines(one.mesh), one.outside, share, one.mesh.volume)


def _outlines(mesh: Mesh) -> Array:
    return np.stack([mesh.reach(float(level), HUES) for level in LEVELS], axis=1)
