"""The ruler 1 to 5: E where the eye stands, I where the instrument stands, B where both do."""

LENGTH = 17
_EMPTY = "┼───┼───┼───┼───┼"
HEADING = "1   2   3   4   5"


def ruler(eye: float | None, instrument: float | None, *, disagree: bool = False) -> str:
    """Seventeen characters; a quarter of a grade is one of them. Where both disagree, the heavy line between
    them is the disagreement.

    >>> ruler(2.0, 3.9, disagree=True), ruler(4.0, 4.0), ruler(None, None)
    ('┼───E━━━━━━━I───┼', '┼───┼───┼───B───┼', '┼───┼───┼───┼───┼')
    """
    cells = list(_EMPTY)
    if eye is not None and instrument is not None and disagree:
        low, high = sorted((_place(eye), _place(instrument)))
        cells[low:high] = "━" * (high - low)
    if instrument is not None:
        cells[_place(instrument)] = "I"
    if eye is not None:
        both = instrument is not None and _place(instrument) == _place(eye)
        cells[_place(eye)] = "B" if both else "E"
    return "".join(cells)


def _place(grade: float) -> int:
    return max(0, min(LENGTH - 1, round((grade - 1) * 4)))
