"""Device values with a little less of one ink: the profile's colours for them show what that ink contributes.

A profile knows channels, not inks. In greys a printer replaces its colours by black, so the ink of a channel
is what it asks for beyond the grey that all colours share, and the black is the depth of that grey.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.published.limits import whole

Array = NDArray[np.float64]

LESS: Final = 0.04  # of an ink: enough to exceed the rounding of 16 bit, little enough to be a slope
_BLACK_GROWS: Final = whole("black_grows")


def less_ink(device: Array, space: str) -> dict[str, Array]:
    """Device values (n, channels), 0..1, with less of one ink each; {} for spaces other than RGB and CMYK.

    "less of channel N"                by `LESS` of what the channel asks for beyond the grey
    "less of channel N in the middle"  by `LESS` half-way, by nothing at paper and solid
    "less black"                       of all channels where all colours meet; in CMYK of the black channel
    """
    if space not in ("RGB", "CMYK"):
        return {}
    demand = 1.0 - device if space == "RGB" else device
    shared = demand[:, :3].min(axis=1)
    ways: dict[str, Array] = {}
    for channel in range(3):
        own = demand[:, channel]
        ways[f"less of channel {channel + 1}"] = _less(demand, [channel], own * (1.0 - shared))
        ways[f"less of channel {channel + 1} in the middle"] = _less(demand, [channel], 4 * own * (1.0 - own))
    black = demand[:, 3:].ravel() if space == "CMYK" else shared**_BLACK_GROWS
    ways["less black"] = _less(demand, [3] if space == "CMYK" else [0, 1, 2], black)
    return {name: 1.0 - way if space == "RGB" else way for name, way in ways.items()}


def _less(demand: Array, channels: list[int], ink: Array) -> Array:
    less = demand.copy()
    less[:, channels] -= LESS * ink[:, None]
    return less
