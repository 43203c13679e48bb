"""The readings that judge a print: which runs and which rows, averaged patch by patch."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.colorimetry.media import media_relative
from evaluation.metrics.evidence import Array
from evaluation.metrics.limits import Limits
from evaluation.readings.colour_classes import CLASSES, LIGHT_GREY, classes, default
from evaluation.readings.colour_classes import pooled as by_repeats
from evaluation.readings.colours import colours
from evaluation.readings.run import Condition, Taken, when_measured
from evaluation.sheet.layout import Sheet

# The measurement condition that judges, best first. D50 with its ultraviolet is the light of the viewing
# booth; M3 suppresses surface reflection and compares with no other.
PREFERRED: Final[tuple[Condition | None, ...]] = ("M1", "M0", None, "M2", "M3")


@dataclass(frozen=True, slots=True, eq=False)
class Pool:
    """Averaged readings of the m patches of a sheet, in map order: absolute XYZ for D50, 2 degrees, Y 0..100.

    Attributes
    ----------
    xyz, paper : (m, 3)
        Of each patch, nan where not read, and of the bare paper read in the same sitting.
    counts : (m,)
        Readings of each patch, 0 where not read.
    bare : (3,)
        Of the bare paper as read last, from `paper_readings` readings.
    covariance : (m, 3, 3)
        Of L*, a*, b* of one reading of each patch, by its class of colour.
    paper_covariance : (3, 3)
        Of one reading of bare paper.
    freedom
        Their degrees of freedom; None where they are the default spread of the settings.
    condition, runs
        The measurement condition used, and the runs taken under it.
    """

    xyz: Array
    paper: Array
    counts: Array
    bare: Array
    paper_readings: int
    covariance: Array
    paper_covariance: Array
    freedom: int | None
    condition: Condition | None
    runs: tuple[Taken, ...]

    @property
    def mean_covariance(self) -> Array:
        """(3, 3) of one reading of any patch that was read, on average."""
        mean: Array = self.covariance[self.counts > 0].mean(axis=0)
        return mean

    @property
    def repeats_known(self) -> bool:
        return self.freedom is not None


def pooled(sheet: Sheet, takens: Sequence[Taken], limits: Limits) -> Pool | None:
    """The readings that judge the print; None without any, or without bare paper.

    Runs printed unmanaged never judge a picture. Of several measurement conditions one is used. Readings of
    one sitting are averaged; of a patch read again later the last readings count, since a print changes as
    it dries.
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
    kinds = classes(lab_from_xyz(np.nan_to_num(xyz)))
    by_class, freedom = _covariance(runs, kinds[counts > 0], limits)
    return Pool(
        xyz,
        paper,
        counts,
        bare,
        bare_readings,
        by_class[kinds],
        by_class[LIGHT_GREY],
        freedom,
        runs[0].run.stated.condition,
        runs,
    )


def black_luminance(sheet: Sheet, pool: Pool) -> float | None:
    """Luminance, 0..100 relative to its paper, of the patch of source black; None where it was not read."""
    row = next((k for k, patch in enumerate(sheet.patches) if patch.id == sheet.black_patch), None)
    if row is None or pool.counts[row] == 0:
        return None
    return float(media_relative(pool.xyz[row], pool.paper[row])[1])


def judging(takens: Sequence[Taken]) -> tuple[Taken, ...]:
    """The runs that may judge the picture: all of the best measurement condition, none unmanaged."""
    pictures = [taken for taken in takens if taken.run.printed_as != "unmanaged" and taken.matched]
    for condition in PREFERRED:
        chosen = tuple(taken for taken in pictures if taken.run.stated.condition == condition)
        if chosen:
            return chosen
    return ()


def _sittings(runs: Sequence[Taken], hours: float) -> list[list[Taken]]:
    """Runs grouped by sitting, newest first; undated runs form one group, the oldest."""
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
    """The k readings of a sitting: (k,) the index of the patch of each, (k, 3) its XYZ."""
    patches: list[int] = []
    colour: list[Array] = []
    for taken in sitting:
        matched = taken.matched.items()
        patches += [place[patch_id] for patch_id, rows in matched for _ in rows]
        colour.append(colours(taken.run).xyz_d50[[row for _, rows in matched for row in rows]])
    every = np.concatenate(colour)
    usable = np.isfinite(every).all(axis=-1)
    return np.array(patches, dtype=np.intp)[usable], every[usable]


def _covariance(runs: Sequence[Taken], kinds: NDArray[np.int_], limits: Limits) -> tuple[Array, int | None]:
    """(5, 3, 3) by class of colour, pooled over runs, the rounding of typed digits added; else the default.

    `kinds`: (k,) classes of the patches read. Repeats without their classes hold for every class alike.
    """
    squares: dict[int, tuple[Array, int]] = {}
    together, freedom = np.zeros((3, 3)), 0
    for taken in runs:
        repeats = taken.repeats
        own = repeats.readings - repeats.patches
        if repeats.covariance is None or own <= 0:
            continue
        together += own * repeats.covariance
        freedom += own
        for kind, (summed, degrees) in repeats.squares.items():
            before = squares.get(kind, (np.zeros((3, 3)), 0))
            squares[kind] = before[0] + summed, before[1] + degrees
    rounding = max((taken.run.rounding for taken in runs), default=0.0)
    rounded = np.eye(3) * rounding**2 / 12  # rounding to d has a standard deviation of d / sqrt(12)
    if freedom < limits.repeats_least:
        return np.asarray(default(limits.reading_sd, kinds) + rounded), None
    if sum(degrees for _, degrees in squares.values()) < freedom:
        return np.asarray(np.broadcast_to(together / freedom + rounded, (len(CLASSES), 3, 3))), freedom
    return np.asarray(by_repeats(squares) + rounded), freedom
