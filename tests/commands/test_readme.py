"""What the README promises: every command is there, and what it shows is so."""

import argparse
import json
import re
from pathlib import Path

from tests.commands.conftest import unpromised
from tui.options import parser

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")


def commands() -> set[str]:
    (choices,) = (
        action.choices for action in parser()._actions if isinstance(action, argparse._SubParsersAction)
    )
    return set(choices)


def test_every_command_is_described() -> None:
    assert {name for name in commands() if f"`drydown {name}" not in README} == set()


def test_it_opens_with_the_job_and_the_two_commands() -> None:
    assert README.startswith("# drydown\n\nYou have set the printer up")
    assert "uv run drydown demo" in README and "uv run pytest" in README


def test_the_document_shown_is_one_that_comes_back() -> None:
    (shown,) = re.findall(r"`drydown weigh 4 --json`.*?```json\n(.*?)```", README, re.DOTALL)
    assert unpromised("weigh", json.loads(shown)) == []


def test_the_settings_shown_are_settings() -> None:
    from evaluation.judgement.tables import load_tables

    shown = re.search(r"stars what you changed\.\n.*?```toml\n(.*?)```", README, re.DOTALL)
    assert shown is not None
    tables = load_tables(shown[1])
    sections = {path.split(".")[0] for path in tables.overridden}
    assert sections == {"thresholds", "anchors", "uses", "causes", "clues"}
    assert tables["drying_wait"] == 48 and "tints" not in tables.uses["portrait"].weights
