"""What repeated readings say about the noise of one: pooled over the patches that were read again."""

from collections.abc import Iterable

import numpy as np

from evaluation.colorimetry.difference import delta_e_76
from evaluation.readings.run import Array, Repeats


def repeats(lab: Array, groups: Iterable[tuple[int, ...]]) -> Repeats:
    """Spread within groups of rows that are readings of the same patch.

    `lab` (n, 3). The covariance is pooled: squares summed over all groups, divided by the readings less
    one for each patch. Colour differences are dE*ab from the mean of their patch.
    """
    repeated = [lab[list(rows)] for rows in groups if len(rows) > 1]
    if not repeated:
        return Repeats(None, None, None, None, 0, 0)
    deviations = np.concatenate([group - group.mean(axis=0) for group in repeated])
    distances = np.concatenate([delta_e_76(group.mean(axis=0), group) for group in repeated])
    freedom = len(deviations) - len(repeated)
    return Repeats(
        covariance=deviations.T @ deviations / freedom,
        mcdm=float(distances.mean()),
        p95=float(np.percentile(distances, 95)),
        largest=float(distances.max()),
        readings=len(deviations),
        patches=len(repeated),
    )
