"""How far optical brightener shifts the bare paper: a fact that is shown and never graded."""

from collections.abc import Sequence
from typing import NamedTuple

from evaluation.colorimetry.brightener import LIT, Lit
from evaluation.readings.colours import colours
from evaluation.readings.run import Taken
from evaluation.sheet.layout import Sheet


class BrightenerShift(NamedTuple):
    """b* of the bare paper under M2 less that under `less`, the condition with ultraviolet."""

    db: float
    less: Lit


def brightener_shift(sheet: Sheet, takens: Sequence[Taken]) -> BrightenerShift | None:
    """From M1, or from M0 without M1; None unless the paper was read with and without ultraviolet."""
    papers = {patch.id for patch in sheet.patches if patch.role == "paper"}
    b: dict[str | None, float] = {}
    for taken in takens:
        rows = [row for patch_id in papers for row in taken.matched.get(patch_id, ())]
        if rows:
            b[taken.run.stated.condition] = float(colours(taken.run).lab_d50[rows, 2].mean())
    lit = next((condition for condition in LIT if condition in b), None)
    return None if "M2" not in b or lit is None else BrightenerShift(b["M2"] - b[lit], lit)
