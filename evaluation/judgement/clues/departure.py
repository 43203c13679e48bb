"""How a print departs from its profile, in terms of inks: a hypothesis with a number for each of them.

The profile itself gives what a little less of a channel, of its mid-tones, or of the black would look like,
patch by patch. A linear fit of those changes to the departure shows how much of each is missing; what the fit
leaves is noise of reading, the profile's own error, and single patches that are wrong, which weigh little.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.predicted import Predicted
from evaluation.profile.less_ink import LESS

_CHANNELS: Final = 3
_ROUNDS: Final = 15  # of reweighting: the shares no longer change then


@dataclass(frozen=True, slots=True, eq=False)
class InkDeparture:
    """The departure of m patches from what their profile expects, explained by inks. Shares: 0.01, 1 % more.

    amount, middle, black   (3,) of each channel, (3,) of its mid-tones, () of the black, against the profile
    errors      (7,) one standard error of each of them, in that order; infinite where the patches, as greys
                alone, cannot separate the inks
    sizes       (3,) root mean square dE*ab that amounts, mid-tones and black make over the patches
    warming     relative change of brightness from the first reading to the last, with `warming_error`;
                0 and infinity where the order of reading is not known
    worst       dE*ab, the most that inks explain on any patch
    explained   share of the departure's sum of squares, patches weighed as in the fit
    left        (m,) dE*ab that is not explained; `usual`, its median
    """

    amount: Array
    middle: Array
    black: float
    errors: Array
    sizes: Array
    warming: float
    warming_error: float
    worst: float
    explained: float
    left: Array
    usual: float


def departure(
    expected: Predicted, evidence: Evidence, place: Array | None, tables: Tables
) -> InkDeparture | None:
    """The departure of a print from its profile, fitted in inks.

    Parameters
    ----------
    evidence : the readings, n patches, without draws.
    place : (n,) of each patch's reading in its run, 0 first .. 1 last; None: not known.
    tables : for `departure_patches` and `outlier_distance`.

    Returns
    -------
    Departure or None
        None where nothing is expected of inks (grey profiles, maps without sources), or with too few patches.
    """
    if evidence.predicted is None:
        return None
    named = [expected.under(name, evidence.patches) for name in _names()]
    changes = [change for change in named if change is not None]
    if len(changes) < len(named):
        return None
    gap = evidence.measured - evidence.predicted
    fields = np.stack([(evidence.predicted - change) / LESS for change in changes], axis=-1)
    known = np.isfinite(gap).all(axis=1) & np.isfinite(fields).all(axis=(1, 2))
    rows = np.flatnonzero(known)
    if len(rows) < tables["departure_patches"]:
        return None
    gap, fields = gap[rows], fields[rows]
    if place is not None:
        fields = np.concatenate([fields, _brighter(evidence.measured[rows], place[rows])], axis=-1)
    share, error, weight = _fitted(gap, fields, tables["outlier_distance"])
    inks = fields[..., : len(_names())] * share[: len(_names())]
    together = inks.sum(axis=-1)
    left = np.linalg.norm(gap - fields @ share, axis=1)
    square = float((weight * (gap**2).sum(axis=1)).sum())
    families = np.split(inks, (_CHANNELS, 2 * _CHANNELS), axis=-1)
    return InkDeparture(
        amount=share[:_CHANNELS],
        middle=share[_CHANNELS : 2 * _CHANNELS],
        black=float(share[2 * _CHANNELS]),
        errors=error[: len(_names())],
        sizes=np.array([np.sqrt((one.sum(axis=-1) ** 2).sum(axis=1).mean()) for one in families]),
        warming=0.0 if place is None else float(share[-1]),
        warming_error=float("inf") if place is None else float(error[-1]),
        worst=float(np.linalg.norm(together, axis=1).max()),
        explained=1.0 - float((weight * left**2).sum()) / max(square, 1e-9),
        left=left,
        usual=float(np.median(left)),
    )


def _names() -> tuple[str, ...]:
    channels = range(1, _CHANNELS + 1)
    return (
        *(f"less of channel {channel}" for channel in channels),
        *(f"less of channel {channel} in the middle" for channel in channels),
        "less black",
    )


def _brighter(lab: Array, place: Array) -> Array:
    """(m, 3, 1) change of CIELAB with a reflectance that grows by `place`: by its cube root."""
    change: Array = (lab + np.array([16.0, 0.0, 0.0])) / 3.0 * (place - place.mean())[:, None]
    return change[..., None]


def _fitted(gap: Array, fields: Array, far: float) -> tuple[Array, Array, Array]:
    """Shares (k,), their standard errors, and the weight (m,) of each patch: least squares, reweighted.

    Patches further off than `far` median distances weigh less. Sums over each patch are made once: a round
    weighs them anew and solves k equations.
    """
    of_fields = np.einsum("mci,mcj->mij", fields, fields)
    of_gap = np.einsum("mci,mc->mi", fields, gap)
    weight = np.ones(len(gap))
    for _ in range(_ROUNDS):
        square = np.tensordot(weight, of_fields, axes=1)
        share = np.linalg.lstsq(square, weight @ of_gap, rcond=None)[0]
        root = np.sqrt(weight)[:, None, None]
        left = np.linalg.norm(gap - fields @ share, axis=1)
        usual = max(float(np.median(left)), 1e-3)
        weight = 1.0 / np.maximum(1.0, left / (far * usual)) ** 2
    count = fields.shape[-1]
    if np.linalg.matrix_rank((fields * root).reshape(-1, count)) < count:  # the inks cannot be separated
        return np.asarray(share), np.full(count, np.inf), weight
    error = np.sqrt(np.diag(np.linalg.inv(square))) * usual / np.sqrt(3.0)
    return np.asarray(share), np.asarray(error), weight
