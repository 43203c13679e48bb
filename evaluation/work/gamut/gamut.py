"""Gamut: what profiles hold of a picture, where their surfaces run, and last how large they are."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from evaluation.documents import gamut as shape
from evaluation.errors import DrydownError
from evaluation.judgement.settings_in_order import Series
from evaluation.plain_text import percent
from evaluation.profile.carried import carried
from evaluation.profile.engine import Profile, open_profile
from evaluation.profile.gamut import FOLDS, HUES, OUTSIDE, SLICES, Gamut, gamut
from evaluation.profile.icc_facts import read_profile
from evaluation.profile.mesh import Mesh
from evaluation.profile.out_of_gamut import BlockSpread, Share, picture_share
from evaluation.profile.picture_colours import PictureColours, Progress, picture_colours
from evaluation.readings import detect
from evaluation.readings.chart import best
from evaluation.readings.run import Run
from evaluation.readings.source import Source
from evaluation.readings.supplied import Supplied
from evaluation.telling import growth as words
from evaluation.work.gamut import growth_document
from evaluation.work.gamut.series import Known, series

SWEEP: Final = tuple(range(0, 360, 10))  # degrees of a slice's outline

_LEVELS: Final = np.arange(5.0, 100.0, 5.0)


@dataclass(frozen=True, slots=True)
class HueReach:
    """How far a gamut reaches along one hue: C*ab at each L* of the slices, its peak and where that is.

    None where nothing is reached.
    """

    hue: int
    chroma: tuple[float | None, ...]
    peak: float | None
    peak_lightness: float | None


@dataclass(frozen=True, slots=True)
class ProfileGamut:
    """One profile's gamut. `share` None: no picture, or gamut not known; then there is nothing else either.

    outlines  C*ab every 10 degrees for each L* of the slices
    """

    file: str
    description: str
    share: Share | None
    outlines: tuple[tuple[float | None, ...], ...]
    hues: tuple[HueReach, ...]
    volume: float | None
    caveats: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Gamuts:
    """The gamuts of some profiles, with one picture held against each, where one was named.

    distance  dE*ab; a colour of the picture further from a gamut's surface lies outside
    growth    of two profiles or more: how far each reaches beyond the first; None where a gamut is not known
    """

    picture: PictureColours | None
    compensation: bool
    distance: float
    profiles: tuple[ProfileGamut, ...]
    growth: Series | None = None


def gamuts(
    paths: Sequence[Path],
    picture: Path | None,
    *,
    compensation: bool = True,
    distance: float = OUTSIDE,
    sheet_mean: float,
    progress: Progress | None = None,
) -> Gamuts:
    """What the profiles hold. Raises ProfileProblem or FileProblem for the first that cannot be used.

    `progress(done, total, file)` is told of the picture's rows, then of its colours against each profile;
    it may raise to stop. `sheet_mean`: dE*ab that sheets of one setting differ by, where that was not read.
    """
    opened = [(path, open_profile(read_profile(path)[1], path.name)) for path in dict.fromkeys(paths)]
    colours = None if picture is None else picture_colours(picture, progress)
    found, known = [], []
    for number, (path, profile) in enumerate(opened):
        if progress:
            progress(number, len(opened), path.name)
        one, mesh = _gamut_of(path, profile, colours, compensation, distance, progress)
        outside = None if one.share is None else one.share.outside
        runs = _carried(profile, path.name) if len(opened) > 1 else ()
        found.append(one)
        known.append(Known(path.stem, None, profile, mesh, outside, runs))
    name = "" if colours is None else colours.name
    growth = None
    if len(known) > 1:
        growth = series(known, (), sheet_mean=sheet_mean, picture=name, compensation=compensation)
    return Gamuts(colours, compensation, distance, tuple(found), growth)


def _carried(profile: Profile, name: str) -> tuple[Run, ...]:
    """Readings of RGB patches that a profile was made from, where it carries any that can be read."""
    try:
        if not carried(profile.content, name):
            return ()
        source = Source(name, profile.content, "")
        found = detect.runs_in(source, Supplied(printed_as="unmanaged"), asking=False)
    except DrydownError:
        return ()
    run = best([each for each in found if each.device is not None and each.device_space == "RGB"])
    return () if run is None else (run,)


def document(found: Gamuts) -> shape.Gamut:
    """The gamuts as plain JSON values, rounded."""
    return {
        "picture": None if found.picture is None else _picture(found.picture),
        "black_point_compensation": found.compensation,
        "outside_from": found.distance,
        "profiles": [_document(one) for one in found.profiles],
        "growth": None if found.growth is None else growth_document.document(found.growth),
        "volume_tells_not": words.VOLUME_TELLS_NOT,
    }


def _gamut_of(
    path: Path,
    profile: Profile,
    picture: PictureColours | None,
    compensation: bool,
    distance: float,
    progress: Progress | None,
) -> tuple[ProfileGamut, Mesh | None]:
    description, shape = profile.contents.description, gamut(profile)
    if shape is None:
        caveat = "Gamut not known: this profile encloses no colours."
        return ProfileGamut(path.name, description, None, (), (), None, (caveat,)), None
    mesh, share = shape.mesh, None
    if picture is not None:
        share = picture_share(
            profile, mesh, picture, compensation=compensation, distance=distance, progress=progress
        )
    found = ProfileGamut(
        file=path.name,
        description=description,
        share=share,
        outlines=tuple(_numbers(mesh.reach(lightness, SWEEP)) for lightness in SLICES),
        hues=_hues(mesh),
        volume=mesh.volume,
        caveats=_caveats(profile, shape),
    )
    return found, mesh


def _hues(mesh: Mesh) -> tuple[HueReach, ...]:
    slices = np.stack([mesh.reach(lightness, HUES) for lightness in SLICES], axis=1)
    sweep = np.stack([mesh.reach(lightness, HUES) for lightness in _LEVELS], axis=1)
    best = np.where(np.isnan(sweep), -1.0, sweep).argmax(axis=1)
    rows = []
    for hue, chroma, along, at in zip(HUES, slices, sweep, best, strict=True):
        peak = _number(along[at])
        rows.append(HueReach(hue, _numbers(chroma), peak, None if peak is None else float(_LEVELS[at])))
    return tuple(rows)


def _caveats(profile: Profile, shape: Gamut) -> tuple[str, ...]:
    found = list(profile.contents.warnings)
    if shape.folds:
        found.append(
            f"The profile folds: {percent(shape.folded, 1)} of its inner device values lie outside its own "
            f"surface (more than {percent(FOLDS, 1)}; project's own choice). Shares and volume hold in part."
        )
    if profile.contents.device_space == "CMYK":
        found.append("The surface is that of prints whose black stands in for grey as far as it can.")
    return tuple(found)


def _picture(picture: PictureColours) -> shape.Picture:
    return {
        "file": picture.name,
        "width": picture.width,
        "height": picture.height,
        "space": picture.space,
        "remarks": list(picture.remarks),
    }


def _document(one: ProfileGamut) -> shape.OfProfile:
    return {
        "file": one.file,
        "description": one.description,
        "gamut": "not known" if one.volume is None else "known",
        "share": None if one.share is None else _share(one.share),
        "slices": [
            {"lightness": lightness, "hues": list(SWEEP), "chroma": _rounded(outline)}
            for lightness, outline in zip(SLICES, one.outlines, strict=False)
        ],
        "hues": [
            {
                "hue": row.hue,
                "chroma": dict(zip((f"{value:g}" for value in SLICES), _rounded(row.chroma), strict=True)),
                "peak": None if row.peak is None else round(row.peak, 1),
                "peak_lightness": row.peak_lightness,
            }
            for row in one.hues
        ],
        "volume": None if one.volume is None else round(one.volume),
        "caveats": list(one.caveats),
    }


def _share(share: Share) -> shape.OutOfGamut:
    return {
        "outside": round(share.outside, 5),
        "too_dark": None if share.too_dark is None else round(share.too_dark, 5),
        "lost": None if share.lost is None else _spread(share.lost),
        "families": {part: round(value, 5) for part, value in share.families},
        "thirds": {part: round(value, 5) for part, value in share.thirds},
        "noise": None if share.noise is None else _spread(share.noise),
        "moved_by": None if share.moved_by is None else round(share.moved_by, 5),
    }


def _spread(spread: BlockSpread) -> shape.Spread:
    return {"median": round(spread.median, 5), "p95": round(spread.p95, 5)}


def _rounded(values: Sequence[float | None]) -> list[float | None]:
    return [None if value is None else round(value, 1) for value in values]


def _numbers(values: Any) -> tuple[float | None, ...]:
    return tuple(_number(value) for value in values)


def _number(value: Any) -> float | None:
    return None if np.isnan(value) else float(value)
