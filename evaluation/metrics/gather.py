"""From a sheet, its readings and its printing condition to the evidence of each region.

Print and aim are compared media-relative, each scaled by its own paper. The aim's black is neutral and its
depth comes from the profile or an accepted earlier print; only for want of both from this print, and then it
is said: a print with too little ink would set its own bar and pass.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from evaluation.colorimetry import grey
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_relative
from evaluation.metrics.evidence import Array, Evidence, Mask
from evaluation.metrics.expected import Expected
from evaluation.metrics.limits import Limits
from evaluation.metrics.pool import Pool, pooled
from evaluation.readings.run import Taken
from evaluation.session import PrintingCondition
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import NeutralAim, Sheet

BlackFrom = Literal["profile", "earlier session", "this print", "not mapped", "not read"]
_MONOCHROME: Final = ("black and white", "black-and-white", "monochrome", "grey", "gray")
_NEUTRAL_KINDS: Final = ("neutral", "mono_neutral")
_RERENDERING: Final = ("perceptual", "saturation")  # intents that change colours on purpose


@dataclass(frozen=True, slots=True, eq=False)
class Gathered:
    """Evidence by region id, and of all patches together; where the aim's black came from."""

    regions: Mapping[str, Evidence]
    whole: Evidence
    pool: Pool
    black_from: BlackFrom
    out_of_reach: tuple[str, ...]  # patches whose aim is darker than the print's black, by choice of intent


def gather(
    sheet: Sheet,
    takens: Sequence[Taken],
    condition: PrintingCondition,
    limits: Limits,
    *,
    draws: int = 0,
    expected: Expected | None = None,
    earlier_black: float | None = None,
    tone: Array | None = None,
) -> Gathered | None:
    """The evidence of every region that has readings; None when nothing can be compared.

    Parameters
    ----------
    draws : bootstrap draws laid before the patches' axis; the first is the readings themselves. Their seed is
        made from the readings, so that the same session weighs the same everywhere.
    expected : what the profile promises, where it can be read.
    earlier_black : luminance, 0..100 relative to paper, of the black of an accepted earlier print of the same
        paper and setting.
    tone : (m, 3) absolute CIELAB of a wanted tone, the curve that greys are compared with.
    """
    pool = pooled(sheet, takens, limits)
    if pool is None:
        return None
    source = source_lab(sheet)
    absolute_aims = condition.intent == "absolute colorimetric"
    aim_xyz = aim_relative(sheet, source, absolute_aims)
    black_row = _row_of(sheet, sheet.black_patch)
    black_y = _relative_y(pool, black_row)
    level, black_from = _black_level(condition, expected, earlier_black, black_y)
    source_black = 0.0 if black_row is None else float(np.nan_to_num(aim_xyz[black_row, 1]))
    if black_from != "not mapped" and level is not None:
        aim_xyz = map_black(aim_xyz, source_black, level)
    aim = lab_from_xyz(aim_xyz)
    out_of_reach = _too_dark(aim, source, level) if black_from == "not mapped" else np.zeros(len(aim), bool)
    aim[out_of_reach] = np.nan

    promised = None if expected is None else expected.lab(sheet.patches)
    rerendered = condition.intent in _RERENDERING
    source_aim = None
    if rerendered and promised is not None:
        aim, source_aim = promised, aim
    through_profile = not _drivers_own(condition)
    inside = None if expected is None else expected.inside(aim)

    absolute, measured, paper = _drawn(pool, draws, absolute_aims)
    black_read = black_row is not None and pool.counts[black_row] > 0
    aim_name: NeutralAim = "toned" if tone is not None else sheet.neutral_aim
    curve = _curve(sheet, source) if tone is None else tone[np.argsort(tone[:, 0])]
    read = pool.counts > 0
    everything = Evidence(
        patches=sheet.patches,
        aim=aim,
        measured=measured,
        absolute=absolute,
        grey_aim=_grey_aim(aim_name, absolute[..., 0], paper, _darkest(pool), limits, curve),
        source_l=source[:, 0],
        covariance=pool.covariance,
        counts=np.maximum(pool.counts, 1),
        black=measured[..., black_row, :] if black_read else None,
        aim_name=aim_name,
        tone_has_aim=through_profile and (not rerendered or promised is not None),
        limits=limits,
        colour_has_aim=not rerendered or promised is not None,
        cast_has_aim=tone is not None or sheet.neutral_aim == "toned" or not _toned(condition),
        comparison="absolute" if absolute_aims else "media-relative",
        inside=inside,
        expected=promised,
        source_aim=source_aim,
        paper_readings=pool.paper_readings,
    )
    regions: dict[str, Evidence] = {}
    for region in sheet.regions:
        own = set(region.patch_ids)
        rows = [k for k, patch in enumerate(sheet.patches) if patch.id in own and read[k]]
        if rows:
            regions[region.id] = chosen(everything, rows)
    whole = chosen(everything, [int(k) for k in np.flatnonzero(read)])
    return Gathered(
        regions, whole, pool, black_from, tuple(sheet.patches[k].id for k in np.flatnonzero(out_of_reach))
    )


def chosen(evidence: Evidence, rows: Sequence[int]) -> Evidence:
    """The evidence of some patches alone, by their rows; neighbouring rows in map order are not copied."""
    together = len(rows) > 0 and list(rows) == list(range(rows[0], rows[0] + len(rows)))
    index = slice(rows[0], rows[0] + len(rows)) if together else np.array(rows, dtype=int)
    return replace(
        evidence,
        patches=tuple(evidence.patches[k] for k in rows),
        aim=evidence.aim[index],
        measured=evidence.measured[..., index, :],
        absolute=evidence.absolute[..., index, :],
        grey_aim=evidence.grey_aim[..., index, :],
        source_l=evidence.source_l[index],
        counts=evidence.counts[index],
        inside=None if evidence.inside is None else evidence.inside[index],
        expected=None if evidence.expected is None else evidence.expected[index],
        source_aim=None if evidence.source_aim is None else evidence.source_aim[index],
        shifts={light: shift[index] for light, shift in evidence.shifts.items()},
    )


def aim_relative(sheet: Sheet, source: Array, absolute: bool) -> Array:
    """Aims as XYZ, scaled by the aim of the paper patch: a chart that was measured has a paper of its own."""
    xyz = xyz_from_lab(source)
    row = _row_of(sheet, sheet.paper_patch)
    if absolute or row is None or not np.isfinite(xyz[row]).all():
        return xyz
    return media_relative(xyz, xyz[row])


def _black_level(
    condition: PrintingCondition, expected: Expected | None, earlier: float | None, printed: float | None
) -> tuple[float | None, BlackFrom]:
    """Luminance, 0..100 relative to paper, of the black the aim is mapped to, and where it came from."""
    if condition.intent == "absolute colorimetric":
        return None, "not mapped"
    if condition.black_point_compensation is False and condition.intent not in _RERENDERING:
        return printed if expected is None else expected.black_y, "not mapped"
    if expected is not None:
        return expected.black_y, "profile"
    if earlier is not None:
        return earlier, "earlier session"
    return (printed, "this print") if printed is not None else (None, "not read")


def _drawn(pool: Pool, draws: int, absolute_aims: bool) -> tuple[Array, Array, Array]:
    """Absolute and media-relative CIELAB of the patches (..., m, 3), and the paper's (..., 3), drawn.

    The paper is drawn too: a paper read once shifts all its patches together.
    """
    papers, sitting = np.unique(pool.paper, axis=0, return_inverse=True)
    lab, paper, bare = (lab_from_xyz(xyz) for xyz in (pool.xyz, papers, pool.bare))
    if draws > 0:
        rng = np.random.default_rng(_seed(pool))
        root = np.linalg.cholesky(pool.covariance + 1e-12 * np.eye(3))
        noise = (rng.standard_normal((draws * len(lab), 3)) @ root.T).reshape(draws, *lab.shape)
        noise /= np.sqrt(np.maximum(pool.counts, 1))[:, None]
        shift = rng.standard_normal((draws, 1, 3)) @ root.T / np.sqrt(max(pool.paper_readings, 1))
        noise[0], shift[0] = 0.0, 0.0
        unprinted = np.isclose(pool.xyz, pool.paper).all(axis=-1)
        noise[:, unprinted] = shift
        lab, paper, bare = lab + noise, paper + shift, bare + shift[:, 0]
    if absolute_aims:
        return lab, lab, bare
    return lab, lab_from_xyz(media_relative(xyz_from_lab(lab), xyz_from_lab(paper)[..., sitting, :])), bare


def _grey_aim(
    name: NeutralAim, lightness: Array, paper: Array, darkest: float, limits: Limits, curve: Array | None
) -> Array:
    """(..., n, 2) aimed a*, b* of greys at absolute L* (..., n) on a paper (..., 3)."""
    match name:
        case "absolute":
            return grey.absolute_aim(lightness)
        case "line":
            return grey.line_aim(lightness, paper, darkest, limits.line_factor)
        case "toned" if curve is not None and len(curve):
            return grey.toned_aim(lightness, curve)
    return grey.paper_aim(lightness, paper)


def _seed(pool: Pool) -> int:
    digest = hashlib.sha256(np.ascontiguousarray(pool.xyz).tobytes() + pool.covariance.tobytes()).digest()
    return int.from_bytes(digest[:8], "little")


def _relative_y(pool: Pool, row: int | None) -> float | None:
    if row is None or pool.counts[row] == 0:
        return None
    return float(media_relative(pool.xyz[row], pool.paper[row])[1])


def _too_dark(aim: Array, source: Array, level: float | None) -> Mask:
    """Neutral aims that are darker than the black: out of reach by choice of intent, and not graded."""
    if level is None:
        return np.zeros(len(aim), bool)
    black = float(lab_from_xyz(D50_WHITE * level / 100)[0])
    neutral = np.hypot(source[:, 1], source[:, 2]) < 1.0
    mask: Mask = neutral & (aim[:, 0] < black - 1e-9)
    return mask


def _curve(sheet: Sheet, source: Array) -> Array | None:
    """The map's own tone: its greys' aims, paper and black with them, rising in L*. None on other maps."""
    if sheet.neutral_aim != "toned":
        return None
    kinds = {region.id for region in sheet.regions if region.kind in _NEUTRAL_KINDS}
    rows = [k for k, patch in enumerate(sheet.patches) if patch.region in kinds or patch.role != "field"]
    curve = source[rows]
    curve = curve[np.isfinite(curve).all(axis=-1)]
    rising: Array = curve[np.argsort(curve[:, 0])]
    return rising


def _darkest(pool: Pool) -> float:
    """Absolute L* of the darkest patch read: the end of the grey aim `line`."""
    return float(np.nanmin(lab_from_xyz(pool.xyz)[:, 0]))


def _row_of(sheet: Sheet, patch_id: str | None) -> int | None:
    return next((k for k, patch in enumerate(sheet.patches) if patch.id == patch_id), None)


def _drivers_own(condition: PrintingCondition) -> bool:
    """A driver's black-and-white mode makes greys of its own: the file's L* is no aim there."""
    mode = condition.driver_mode.casefold()
    return any(word in mode for word in _MONOCHROME)


def _toned(condition: PrintingCondition) -> bool:
    return condition.tone_wanted.casefold() not in ("", "neutral", "none")
