"""From a sheet, its readings and its printing condition to the evidence of each region.

Print and aim are compared media-relative, each scaled by its own paper. The aim's black is neutral, and its
depth comes from the profile or an accepted earlier print; only without either from this print, which is then
reported, since a print with too little ink would set its own bar and pass.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_relative
from evaluation.metrics.black_level import RERENDERING, BlackFrom, black_level, too_dark
from evaluation.metrics.bootstrap import draws_of
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.grey_aims import darkest, grey_aim, own_curve
from evaluation.metrics.limits import Limits
from evaluation.metrics.pool import Pool, pooled
from evaluation.metrics.predicted import Predicted
from evaluation.readings.run import Taken
from evaluation.session import PrintingCondition
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import NeutralAim, Sheet

_MONOCHROME: Final = ("black and white", "black-and-white", "monochrome", "grey", "gray")


@dataclass(frozen=True, slots=True, eq=False)
class Gathered:
    """Evidence by region id and of all patches together, and where the aim's black came from.

    source        (n, 3) CIELAB of every patch of the sheet as it is meant, before any mapping
    out_of_reach  ids of patches whose aim is darker than the print's black, by choice of intent
    """

    regions: Mapping[str, Evidence]
    whole: Evidence
    pool: Pool
    source: Array
    black_from: BlackFrom
    out_of_reach: tuple[str, ...]


def gather(
    sheet: Sheet,
    takens: Sequence[Taken],
    condition: PrintingCondition,
    limits: Limits,
    *,
    draws: int = 0,
    predicted: Predicted | None = None,
    earlier_black: float | None = None,
    tone: Array | None = None,
) -> Gathered | None:
    """The evidence of every region that has readings; None when nothing can be compared.

    Parameters
    ----------
    sheet, takens, condition, limits
        The sheet, its readings, how it was printed, and the limits of the settings.
    draws
        Bootstrap draws on the first axis; the first is the readings themselves. See `bootstrap.draws_of`.
    predicted
        What the profile predicts, where it can be read.
    earlier_black
        Luminance, 0..100 relative to paper, of the black of an accepted earlier print of the same paper and
        setting.
    tone : (m, 3)
        Absolute CIELAB of a wanted tone, the curve that greys are compared with.
    """
    pool = pooled(sheet, takens, limits)
    if pool is None:
        return None
    source = source_lab(sheet)
    absolute_aims = condition.intent == "absolute colorimetric"
    aim_xyz = aim_relative(sheet, source, absolute_aims)
    black_row = _row_of(sheet, sheet.black_patch)
    black_y = _relative_y(pool, black_row)
    level, black_from = black_level(condition, predicted, earlier_black, black_y)
    source_black = 0.0 if black_row is None else float(np.nan_to_num(aim_xyz[black_row, 1]))
    if black_from != "not mapped" and level is not None:
        aim_xyz = map_black(aim_xyz, source_black, level)
    aim = lab_from_xyz(aim_xyz)
    out_of_reach = too_dark(aim, source, level) if black_from == "not mapped" else np.zeros(len(aim), bool)
    aim[out_of_reach] = np.nan

    prediction = None if predicted is None else predicted.lab(sheet.patches)
    rerendered = condition.intent in RERENDERING
    source_aim = None
    if rerendered and prediction is not None:
        aim, source_aim = prediction, aim
    through_profile = not drivers_own(condition)
    read = np.flatnonzero(pool.counts)
    inside = None if predicted is None else predicted.inside(aim[read])

    absolute, measured, paper = draws_of(pool, draws, absolute_aims)
    black = int(np.searchsorted(read, black_row)) if black_row is not None and black_row in read else None
    aim_name: NeutralAim = "toned" if tone is not None else sheet.neutral_aim
    curve = own_curve(sheet, source) if tone is None else tone[np.argsort(tone[:, 0])]
    whole = Evidence(
        patches=tuple(sheet.patches[k] for k in read),
        aim=aim[read],
        measured=measured,
        absolute=absolute,
        grey_aim=grey_aim(aim_name, absolute[..., 0], paper, darkest(pool), limits, curve),
        source_l=source[read, 0],
        covariance=pool.covariance[read],
        counts=pool.counts[read],
        black=None if black is None else measured[..., black, :],
        aim_name=aim_name,
        tone_has_aim=through_profile and (not rerendered or prediction is not None),
        limits=limits,
        colour_has_aim=not rerendered or prediction is not None,
        cast_has_aim=tone is not None or sheet.neutral_aim == "toned" or not _toned(condition),
        comparison="absolute" if absolute_aims else "media-relative",
        inside=inside,
        predicted=None if prediction is None else prediction[read],
        source_aim=None if source_aim is None else source_aim[read],
        paper_readings=pool.paper_readings,
        paper_covariance=pool.paper_covariance,
    )
    regions: dict[str, Evidence] = {}
    place = {patch.id: k for k, patch in enumerate(whole.patches)}
    for region in sheet.regions:
        rows = sorted({place[patch_id] for patch_id in region.patch_ids if patch_id in place})
        if rows:
            regions[region.id] = chosen(whole, rows)
    return Gathered(
        regions,
        whole,
        pool,
        source,
        black_from,
        tuple(sheet.patches[k].id for k in np.flatnonzero(out_of_reach)),
    )


def chosen(evidence: Evidence, rows: Sequence[int]) -> Evidence:
    """The evidence of some patches alone, by their rows in it; neighbouring rows are not copied."""
    together = len(rows) > 0 and list(rows) == list(range(rows[0], rows[0] + len(rows)))
    index = slice(rows[0], rows[0] + len(rows)) if together else np.array(rows, dtype=np.intp)
    return replace(
        evidence,
        patches=tuple(evidence.patches[k] for k in rows),
        aim=evidence.aim[index],
        measured=_of_rows(evidence.measured, index),
        absolute=_of_rows(evidence.absolute, index),
        grey_aim=_of_rows(evidence.grey_aim, index),
        source_l=evidence.source_l[index],
        covariance=evidence.covariance[index],
        counts=evidence.counts[index],
        inside=None if evidence.inside is None else evidence.inside[index],
        predicted=None if evidence.predicted is None else evidence.predicted[index],
        source_aim=None if evidence.source_aim is None else evidence.source_aim[index],
        shifts={light: shift[index] for light, shift in evidence.shifts.items()},
        shifts_otherwise={light: shift[:, index] for light, shift in evidence.shifts_otherwise.items()},
    )


def _of_rows(drawn: Array, index: slice | NDArray[np.intp]) -> Array:
    """Rows of (..., n, k): as they stand where they are neighbours, else copied."""
    if isinstance(index, slice):
        return drawn[..., index, :]
    return np.moveaxis(np.take(np.moveaxis(drawn, -1, 0), index, axis=-1), 0, -1)


def aim_relative(sheet: Sheet, source: Array, absolute: bool) -> Array:
    """Aims as XYZ (n, 3) of source CIELAB (n, 3), scaled by the aim of the paper patch unless `absolute`.

    A map that states measured colours has a paper of its own.
    """
    xyz = xyz_from_lab(source)
    row = _row_of(sheet, sheet.paper_patch)
    if absolute or row is None or not np.isfinite(xyz[row]).all():
        return xyz
    return media_relative(xyz, xyz[row])


def _relative_y(pool: Pool, row: int | None) -> float | None:
    if row is None or pool.counts[row] == 0:
        return None
    return float(media_relative(pool.xyz[row], pool.paper[row])[1])


def _row_of(sheet: Sheet, patch_id: str | None) -> int | None:
    return next((k for k, patch in enumerate(sheet.patches) if patch.id == patch_id), None)


def drivers_own(condition: PrintingCondition) -> bool:
    """A driver's black-and-white mode makes greys of its own: neither the file nor a profile is its aim."""
    mode = condition.driver_mode.casefold()
    return any(word in mode for word in _MONOCHROME)


def _toned(condition: PrintingCondition) -> bool:
    return condition.tone_wanted.casefold() not in ("", "neutral", "none")
