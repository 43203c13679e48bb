"""The settings in force are shown with their marks; the user's file is laid over them and named."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Drydown = Callable[..., Any]


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """The settings file that the test's command line looks for."""
    return tmp_path / "no-weighing.toml"


def test_shipped_settings_carry_their_marks(drydown: Drydown) -> None:
    shown = drydown("settings", "--json").json
    assert shown["overridden"] == []
    assert {row["mark"] for row in shown["thresholds"]} <= {"own", "READ", "COMPUTED", "MEMORY"}
    assert next(row for row in shown["thresholds"] if row["name"] == "flare")["mark"] == "MEMORY"


def test_a_changed_value_is_shown_and_changes_the_digest(drydown: Drydown, mine: Path) -> None:
    before = drydown("settings", "--json").json["digest"]
    mine.write_text("[thresholds]\nflare = 0.01\n", "utf-8")
    after = drydown("settings", "--json").json
    assert after["digest"] != before and after["overridden"] == ["thresholds.flare"]
    assert "* flare" in " ".join(drydown("settings").out.split())


def test_a_mistake_in_the_file_is_named_and_nothing_is_weighed(drydown: Drydown, mine: Path) -> None:
    mine.write_text("[thresholds]\nflair = 0.01\n", "utf-8")
    ran = drydown("settings")
    assert ran.code == 1 and "thresholds.flair" in ran.err and "no-weighing.toml" in ran.err
