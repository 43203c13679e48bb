"""How well the anchors fit one observer's eye, from earlier weighings of their own.

Until twenty regions are known that both have graded, a default stands in for it. Number and least value are
the project's own choice.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from evaluation.judgement.tables import Tables

NAME: Final = "anchor_spread"
_LEAST: Final = 0.2  # grades; below it twenty pairs say nothing
_NOTE: Final = "what is left between this observer's eye and the readings, over the regions both have graded"


@dataclass(frozen=True, slots=True)
class OwnAnchor:
    """Spread of the anchors for one observer, in grades, and the number of regions it was found from."""

    spread: float
    regions: int


def own_anchor(results: Iterable[Mapping[str, Any]], tables: Tables) -> OwnAnchor | None:
    """From stored weighings (documents of `drydown weigh --json`) of one observer; None below twenty regions.

    The mean square of eye minus instrument holds the eye's own spread and that between instruments as well;
    both are taken out. A constant difference stays in: it is the anchor that does not fit.
    """
    apart: list[float] = []
    own: list[float] = []
    for result in results:
        for region in result["regions"]:
            if region["eye"] is not None and region["instrument"] is not None:
                apart.append(region["eye"]["grade"] - region["instrument"]["grade"])
                own.append(region["eye"]["spread"])
    if len(apart) < tables["anchor_pairs"]:
        return None
    left = np.square(apart).mean() - np.square(own).mean() - tables["instrument_spread"] ** 2
    return OwnAnchor(float(np.sqrt(max(left, _LEAST**2))), len(apart))


def with_own_anchor(tables: Tables, own: OwnAnchor | None) -> Tables:
    """The tables with the observer's own spread for the default; their digest stays that of the settings."""
    if own is None:
        return tables
    row = replace(tables.thresholds[NAME], value=own.spread, mark="COMPUTED", note=_NOTE)
    return replace(tables, thresholds={**tables.thresholds, NAME: row})


def caveat(own: OwnAnchor) -> str:
    """What to say beside a result while the observer's own spread is in force."""
    return (
        f"How far the anchors fit the eye: {own.spread:.2f} of a grade, from {own.regions} regions "
        "that this observer and the readings have both graded."
    )
