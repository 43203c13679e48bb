"""Files of readings that tell their times in different ways stand in one session."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Drydown = Callable[..., Any]
DATA = Path(__file__).parents[1]


@pytest.fixture
def two_clocks(drydown: Drydown, tmp_path: Path) -> str:
    """A session with readings dated by a wall clock, and others dated in UTC."""
    chart = DATA / "sheet" / "data"
    condition = tmp_path / "condition.toml"
    text = '[condition]\npaper = "chart"\nmade_for = "general"\nprinted_at = 2026-03-01T10:00:00Z\n'
    condition.write_text(text, "utf-8")
    made = drydown("new", "--from", condition, "--sheet", chart / "chart-24.toml")
    assert made.code == 0, made.err
    for name, date in (("wall.txt", "2026-03-02 14:05"), ("utc.txt", "2026-03-04T14:05:00Z")):
        readings = tmp_path / name
        readings.write_text(
            (chart / "chart-24.txt")
            .read_text("utf-8")
            .replace("NUMBER_OF_FIELDS", f'CREATED "{date}"\nNUMBER_OF_FIELDS', 1),
            "utf-8",
        )
        read = drydown("read", made.out.strip(), readings)
        assert read.code == 0, read.err
    return str(made.out.strip())


@pytest.mark.parametrize("verb", ["weigh", "appendix"])
def test_times_with_and_without_a_zone_are_held_together(
    verb: str, two_clocks: str, drydown: Drydown, tmp_path: Path
) -> None:
    ran = drydown(verb, two_clocks, *(("-o", tmp_path / "x.md") if verb == "appendix" else ()))
    assert ran.code == 0, ran.err
