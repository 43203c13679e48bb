"""What a profile promises of a print: how the profile engine speaks to metrics and causes."""

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from evaluation.sheet.layout import Patch

Array = NDArray[np.float64]


class Predicted(Protocol):
    """The colours a condition should reach, always A2B1(B2A_intent(source)), whatever the intent.

    Media-relative; for the absolute intent absolute.

    black_y    luminance of its black relative to its paper, 0..100
    paper_lab  (3,) absolute CIELAB of its paper, or None where the profile does not say
    """

    @property
    def black_y(self) -> float: ...

    @property
    def paper_lab(self) -> Array | None: ...

    def lab(self, patches: Sequence[Patch]) -> Array:
        """(n, 3) CIELAB that the print should show, in the comparison's frame; nan where it cannot be."""
        ...

    def inside(self, aim: Array) -> NDArray[np.bool_] | None:
        """(n,) which media-relative aims (n, 3) lie inside the profile's mesh; None: gamut not known."""
        ...

    def under(self, hypothesis: str, patches: Sequence[Patch]) -> Array | None:
        """(n, 3) what the print would show under a hypothesis of `judgement.causes`; None: cannot be said.

        "profile applied twice", "no profile", "encoding NAME", "intent NAME", "no compensation" or
        "compensation" (black point compensation the other way round); "less of channel N", "less of channel
        N in the middle" (N from 1) or "less black": `profile.thinner.LESS` of that ink gone.
        """
        ...
