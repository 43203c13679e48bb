"""The readings of a session that may judge its picture: which runs, which rows, averaged patch by patch."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.media import media_relative
from evaluation.metrics.evidence import Array
from evaluation.metrics.limits import Limits
from evaluation.readings.colours import colours
from evaluation.readings.run import Condition, Taken, when_measured
from evaluation.sheet.layout import Sheet

# The condition that judges, best first. D50 with its ultraviolet is the viewing booth's light; M3 takes
# surface light away and stands beside no other.
_PREFERRED: Final[tuple[Condition | None, ...]] = ("M1", "M0", None, "M2", "M3")


@dataclass(frozen=True, slots=True, eq=False)
class Pool:
    """Averaged readings, absolute, D50 / 2 degrees, m patches in map order; nan where one was not read.

    xyz, paper  (m, 3) of each patch, and of the bare paper of its own sitting
    bare        (3,) of the bare paper as read last, `paper_readings` times
    counts      (m,) readings behind each patch, 0 where not read
    covariance  (3, 3) of (L*, a*, b*) of one reading
    freedom     degrees of freedom behind it; None where it is the default spread
    condition   of the runs used; `runs` are those runs
    """

    xyz: Array
    paper: Array
    counts: Array
    bare: Array
    paper_readings: int
    covariance: Array
    freedom: int | None
    condition: Condition | None
    runs: tuple[Taken, ...]

    @property
    def repeats_known(self) -> bool:
        return self.freedom is not None


def pooled(sheet: Sheet, takens: Sequence[Taken], limits: Limits) -> Pool | None:
    """The readings that judge the print; None when there are none, or none of bare paper.

    Runs printed unmanaged never judge a picture. Of several measurement conditions one is used. Readings of
    one sitting are averaged; a patch read again later counts as it was read last, since a print moves as it
    dries.
    """
    runs = judging(takens)
    if not runs:
        return None
    sittings = _sittings(runs, limits.sitting)
    place = {patch.id: row for row, patch in enumerate(sheet.patches)}
    xyz, paper = (np.full((len(place), 3), np.nan) for _ in range(2))
    counts = np.zeros(len(place))
    bare, bare_readings = None, 0
    of_paper = np.array([patch.role == "paper" for patch in sheet.patches])
    for sitting in reversed(sittings):  # oldest first: later readings replace earlier ones
        patch_rows, colour = _read(sitting, place)
        own = of_paper[patch_rows]
        if own.any():
            bare, bare_readings = colour[own].mean(axis=0), int(own.sum())
        number = np.bincount(patch_rows, minlength=len(place))
        total = np.stack([np.bincount(patch_rows, axis, len(place)) for axis in colour.T], axis=1)
        read = number > 0
        xyz[read], counts[read] = total[read] / number[read, None], number[read]
        paper[read] = np.nan if bare is None else bare
    if bare is None:
        return None
    paper[np.isnan(paper)] = np.broadcast_to(bare, paper.shape)[np.isnan(paper)]
    covariance, freedom = _covariance(runs, limits)
    return Pool(
        xyz, paper, counts, bare, bare_readings, covariance, freedom, runs[0].run.stated.condition, runs
    )


def black_luminance(sheet: Sheet, pool: Pool) -> float | None:
    """Luminance, 0..100 relative to its own paper, of the patch printed from source black; None unread."""
    row = next((k for k, patch in enumerate(sheet.patches) if patch.id == sheet.black_patch), None)
    if row is None or pool.counts[row] == 0:
        return None
    return float(media_relative(pool.xyz[row], pool.paper[row])[1])


def judging(takens: Sequence[Taken]) -> tuple[Taken, ...]:
    """The runs that may judge the picture: not unmanaged, and all of the best condition there is."""
    pictures = [taken for taken in takens if taken.run.printed_as != "unmanaged" and taken.matched]
    for condition in _PREFERRED:
        chosen = tuple(taken for taken in pictures if taken.run.stated.condition == condition)
        if chosen:
            return chosen
    return ()


def _sittings(runs: Sequence[Taken], hours: float) -> list[list[Taken]]:
    """Runs in groups, newest first; undated ones are one group, and older than every dated one."""
    groups: list[list[Taken]] = []
    newest = inf
    for taken in sorted(runs, key=lambda taken: when_measured(taken.run), reverse=True):
        at = when_measured(taken.run)
        if groups and (at == newest or newest - at <= hours * 3600):
            groups[-1].append(taken)
        else:
            groups.append([taken])
            newest = at
    return groups


def _read(sitting: Sequence[Taken], place: Mapping[str, int]) -> tuple[NDArray[np.intp], Array]:
    """The readings of a sitting: (k,) the row of the patch of each, (k, 3) its XYZ."""
    patches: list[int] = []
    colour: list[Array] = []
    for taken in sitting:
        matched = taken.matched.items()
        patches += [place[patch_id] for patch_id, rows in matched for _ in rows]
        colour.append(colours(taken.run).xyz_d50[[row for _, rows in matched for row in rows]])
    every = np.concatenate(colour)
    usable = np.isfinite(every).all(axis=-1)
    return np.array(patches, dtype=np.intp)[usable], every[usable]


def _covariance(runs: Sequence[Taken], limits: Limits) -> tuple[Array, int | None]:
    """Pooled over the runs by their degrees of freedom, rounding of typed digits added; else the default."""
    pooled_sum, freedom = np.zeros((3, 3)), 0
    for taken in runs:
        repeats = taken.repeats
        own = repeats.readings - repeats.patches
        if repeats.covariance is not None and own > 0:
            pooled_sum += own * repeats.covariance
            freedom += own
    rounding = max((taken.run.rounding for taken in runs), default=0.0)
    rounded = np.eye(3) * rounding**2 / 12  # a value rounded to d is spread by d / sqrt(12)
    if freedom >= limits.repeats_least:
        return np.asarray(pooled_sum / freedom + rounded), freedom
    return np.asarray(np.eye(3) * limits.reading_sd**2 + rounded), None
