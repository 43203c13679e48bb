"""How a print moves as it dries: readings of one sheet at different ages."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from evaluation.metrics.evidence import Array
from evaluation.published.limits import whole
from evaluation.readings.colours import colours
from evaluation.readings.run import Taken
from evaluation.sheet.layout import Sheet

_FEWEST = whole("ages_share")


@dataclass(frozen=True, slots=True)
class AtAge:
    """The readings of one age, and the mean change since the age before, of inks and paper separately.

    hours     since printing
    moved     mean dE*ab of the inked patches
    lighter   their mean dL*
    stronger  their mean dC*
    paper     dE*ab of the bare paper, which changes by itself; None where it was not read
    """

    hours: float
    moved: float
    lighter: float
    stronger: float
    paper: float | None


@dataclass(frozen=True, slots=True)
class Drying:
    """How a print dried.

    ages     in order
    settled  the age, hours, from which on all readings agree, over 12 hours or more; None where not yet
    a_day    how fast it moved between the last two ages, dE*ab a day
    """

    ages: tuple[AtAge, ...]
    settled: float | None
    a_day: float


def drying(
    sheet: Sheet, takens: Sequence[Taken], printed_at: datetime, limit: float, apart_hours: float = 12.0
) -> Drying | None:
    """The drying of a print, from its dated runs of one measurement condition.

    Parameters
    ----------
    sheet, takens
        The sheet and its readings.
    printed_at
        When it was printed, with a time zone.
    limit
        Mean dE*ab within which two ages of a settled print stay, from the repeats.
    apart_hours
        The least span of time over which they must agree.

    Returns
    -------
    None with fewer than two ages or five shared inked patches.
    """
    dated = [
        (at, taken)
        for taken in takens
        if (at := taken.run.stated.measured_at) is not None
        and taken.run.printed_as != "unmanaged"
        and at >= printed_at  # a reading dated earlier tells no age
    ]
    if not dated:
        return None
    condition = dated[-1][1].run.stated.condition
    dated = sorted(
        (pair for pair in dated if pair[1].run.stated.condition == condition), key=lambda pair: pair[0]
    )
    shared = [patch for patch in sheet.patches if all(patch.id in taken.matched for _, taken in dated)]
    inked = [patch.id for patch in shared if patch.role != "paper"]
    papers = [patch.id for patch in shared if patch.role == "paper"]
    if len(dated) < 2 or len(inked) < _FEWEST:
        return None
    hours = [(at - printed_at).total_seconds() / 3600 for at, _ in dated]
    lab = [means(taken, inked) for _, taken in dated]
    bare = [means(taken, papers) for _, taken in dated] if papers else []
    ages = [AtAge(hours[0], 0.0, 0.0, 0.0, 0.0 if bare else None)]
    for k in range(1, len(dated)):
        gap = lab[k] - lab[k - 1]
        strength = np.hypot(lab[k][:, 1], lab[k][:, 2]) - np.hypot(lab[k - 1][:, 1], lab[k - 1][:, 2])
        ages.append(
            AtAge(
                hours[k],
                float(np.linalg.norm(gap, axis=1).mean()),
                float(gap[:, 0].mean()),
                float(strength.mean()),
                float(np.linalg.norm(bare[k] - bare[k - 1], axis=1).mean()) if bare else None,
            )
        )
    days = max((hours[-1] - hours[-2]) / 24, 1e-9)
    return Drying(tuple(ages), _settled(hours, lab, limit, apart_hours), ages[-1].moved / days)


def _settled(hours: Sequence[float], lab: Sequence[Array], limit: float, apart: float) -> float | None:
    for first in range(len(hours) - 1):
        if hours[-1] - hours[first] < apart:
            return None
        pairs = [(i, j) for i in range(first, len(hours)) for j in range(i + 1, len(hours))]
        if all(float(np.linalg.norm(lab[j] - lab[i], axis=1).mean()) <= limit for i, j in pairs):
            return hours[first]
    return None


def means(taken: Taken, patch_ids: Sequence[str]) -> Array:
    """(k, 3) CIELAB of these patches, each the mean of its readings in the run."""
    lab = colours(taken.run).lab_d50
    return np.array([lab[list(taken.matched[patch_id])].mean(axis=0) for patch_id in patch_ids])
