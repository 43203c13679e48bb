"""Densities that an instrument gave: which filters there are, and what no instrument reads."""

from typing import Final

import numpy as np

from evaluation.published.limits import limit
from evaluation.readings.run import Array, Densities

# What columns and elements call a filter, in capitals, and which it is. A densitometer reads an ink through
# the filter of its complement, black through the visual one: common practice, ISO 5-3.
FILTERS: Final = {
    "VISUAL": "visual",
    "RED": "red",
    "GREEN": "green",
    "BLUE": "blue",
    "BLACK": "visual",
    "CYAN": "red",
    "MAGENTA": "green",
    "YELLOW": "blue",
    "MAJOR": "major",
}
STATUSES: Final = frozenset("AEIMT")
_DENSEST: Final = limit("density_given")


def as_given(filters: tuple[str, ...], values: Array, status: str | None) -> Densities:
    """(n, filters) densities, nan for those that no instrument reads."""
    possible = (values >= -_DENSEST) & (values <= _DENSEST)
    return Densities(filters, np.where(possible, values, np.nan), status)
