"""A ring-around in a mode that prints no colour: every field is one grey, and no field is greyer."""

from collections.abc import Mapping

import numpy as np

from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.grey_metrics import ring_slope


def colourless(ring: Evidence, stated: Mapping[str, Array], tables: Tables) -> bool:
    """Whether the ring was printed as one grey; `stated`: CIELAB (3,) of each patch's own source, by id."""
    slope = ring_slope(ring, np.array([stated[patch.id][1:] for patch in ring.patches]))
    return slope is not None and slope < tables["ring_slope"]
