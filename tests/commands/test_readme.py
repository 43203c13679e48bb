"""What the README promises: every command is there, every JSON shape is the one that comes back."""

import argparse
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tui.cli import parser

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
SHAPES = dict(re.findall(r"### `drydown (\w+) --json`\s+```json\n(.*?)```", README, re.DOTALL))


def commands() -> set[str]:
    (choices,) = (
        action.choices for action in parser()._actions if isinstance(action, argparse._SubParsersAction)
    )
    return set(choices)


def same_shape(promised: Any, found: Any, path: str = "") -> list[str]:
    """Where two JSON values differ in their keys; empty lists and nulls promise nothing about inside."""
    if isinstance(promised, dict) and isinstance(found, dict):
        if promised.keys() - found.keys() or (found.keys() - promised.keys() and "metrics" not in path):
            return [f"{path}: {sorted(promised.keys() ^ found.keys())}"]
        return [
            line
            for key in promised.keys() & found.keys()
            for line in same_shape(promised[key], found[key], f"{path}.{key}")
        ]
    if isinstance(promised, list) and isinstance(found, list) and promised and found:
        return same_shape(promised[0], found[0], f"{path}[]")
    return []


def test_every_command_is_described() -> None:
    assert {name for name in commands() if f"`drydown {name}" not in README} == set()


def test_it_opens_with_the_job_and_the_two_commands() -> None:
    assert README.startswith("# drydown\n\nYou have set the printer up")
    assert "uv run drydown demo" in README and "uv run pytest" in README


@pytest.mark.parametrize("command", sorted(SHAPES))
def test_a_promised_shape_is_what_comes_back(
    demo_room: Callable[..., Any], demo_archive: Path, command: str
) -> None:
    promised = json.loads(SHAPES[command])
    readings = next((demo_archive.parent / "demo-readings").glob("rag*.txt"))
    words = {
        "list": (),
        "weigh": ("4",),
        "contents": (readings,),
        "compare": (1, 4),
        "settings": (),
        "lamp": ("fl11",),
    }.get(command)
    if words is None:
        pytest.skip(f"{command} is checked with its own tests")
    found = demo_room(command, *words, "--json").json
    if command == "weigh":
        for part in (promised, found):
            for region in part["regions"]:
                region["instrument"] = {**(region["instrument"] or {}), "metrics": {}}
            part["verdicts"] = {"any": next(iter(part["verdicts"].values()))}
            part["regions"] = [region for region in part["regions"] if region["id"] == "shadow"]
    if command == "settings":  # a use weighs the regions it weighs
        for part in (promised, found):
            part["uses"] = [use | {"weights": {}} for use in part["uses"]]
    assert same_shape(promised, found) == []


def test_the_settings_shown_are_settings() -> None:
    from evaluation.judgement.tables import load_tables

    shown = re.search(r"## Settings of your own\n.*?```toml\n(.*?)```", README, re.DOTALL)
    assert shown is not None
    tables = load_tables(shown[1])
    assert {path.split(".")[0] for path in tables.overridden} == {"thresholds", "anchors", "uses", "causes"}
    assert tables["drying_wait"] == 48 and "tints" not in tables.uses["portrait"].weights
