"""The colours that a profile predicts for a print, as metrics and causes need them."""

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from evaluation.sheet.layout import Patch

Array = NDArray[np.float64]


class Predicted(Protocol):
    """The colours that a printing condition should reach: A2B1(B2A_intent(source)) under every intent.

    Colours are CIELAB for D50, media-relative; under the absolute intent absolute.

    black_y    luminance, 0..100 relative to paper, of the black that the profile's tables reach
    paper_lab  (3,) absolute CIELAB of the paper of the profile; None where it states none
    """

    @property
    def black_y(self) -> float: ...

    @property
    def paper_lab(self) -> Array | None: ...

    def lab(self, patches: Sequence[Patch]) -> Array:
        """(n, 3) CIELAB that the print should show; rows of nan for patches without an aim."""
        ...

    def inside(self, aim: Array) -> NDArray[np.bool_] | None:
        """(n,) which aims (n, 3) lie inside the gamut of the profile; None where it is not known."""
        ...

    def under(self, hypothesis: str, patches: Sequence[Patch]) -> Array | None:
        """(n, 3) CIELAB that the print would show under a hypothesis; None for one that does not apply.

        "profile applied twice", "no profile", "encoding NAME", "intent NAME", "no compensation" or
        "compensation" (black point compensation the other way round); "less of channel N", "less of channel
        N in the middle" (N from 1) or "less black": `profile.less_ink.LESS` of that ink gone.
        """
        ...
