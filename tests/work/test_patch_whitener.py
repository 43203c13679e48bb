"""One patch opened: M2 less M1, or less M0 for want of it, of one file, and named."""

import pytest

from evaluation.work.weigh.patches import UnderCondition, _whitener


def under(condition: str, b: float, source: str = "strip.txt") -> UnderCondition:
    return UnderCondition(condition, source, (95.0, 1.0, b), 1, None, (), None)


@pytest.mark.parametrize(
    ("read", "db", "lit_by"),
    [
        ([under("M0", -4), under("M1", -6), under("M2", 0)], 6, "M1"),
        ([under("M2", 0), under("M0", -4)], 4, "M0"),
        ([under("M2", 0), under("M0", -4, "other.txt")], None, ""),
        ([under("M0", -4), under("M1", -6)], None, ""),
    ],
)
def test_the_condition_with_ultraviolet_is_m1_else_m0(
    read: list[UnderCondition], db: float | None, lit_by: str
) -> None:
    """ISO 13655: M1 has the ultraviolet of D50, M0 that of its lamp, M2 none."""
    found, named = _whitener(read)
    assert (None if found is None else found.db, named) == (db, lit_by)
