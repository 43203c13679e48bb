"""How far optical brightener shifts the bare paper: a fact that is shown and never graded."""

from collections.abc import Sequence

from evaluation.readings.colours import colours
from evaluation.readings.run import Taken
from evaluation.sheet.layout import Sheet


def brightener_shift(sheet: Sheet, takens: Sequence[Taken]) -> float | None:
    """b* of the bare paper, M2 minus M1, or minus M0 without M1; None unless it was read under both."""
    papers = {patch.id for patch in sheet.patches if patch.role == "paper"}
    b: dict[str | None, float] = {}
    for taken in takens:
        rows = [row for patch_id in papers for row in taken.matched.get(patch_id, ())]
        if rows:
            b[taken.run.stated.condition] = float(colours(taken.run).lab_d50[rows, 2].mean())
    ultraviolet = b.get("M1", b.get("M0"))
    return None if "M2" not in b or ultraviolet is None else b["M2"] - ultraviolet
