"""drydown.toml: keymap and appearance, and every mistake in it told at its key path."""

from pathlib import Path

import pytest

from evaluation.errors import DrydownError
from tui import config
from tui.config import Config


def test_without_a_file_the_app_is_as_shipped(tmp_path: Path) -> None:
    assert config.load(tmp_path) == Config()


def test_a_file_changes_look_and_keys(tmp_path: Path) -> None:
    (tmp_path / config.NAME).write_text(
        '[appearance]\ntheme = "light"\nplain_signs = true\n'
        '[look]\nbounce_ms = 0\n[keys]\n"look.again" = "b"\n'
    )
    found = config.load(tmp_path)
    assert (found.theme, found.plain_signs, found.bounce_ms) == ("light", True, 0)
    assert found.keymap == {"look.again": "b"}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[appearance]\ntheme = "red"', "appearance.theme"),
        ('[keys]\n"look.nothing" = "b"', "look.nothing"),
        ('[keys]\n"look.digit" = "b"', "look.digit"),
        ('[keys]\n"look.again" = "r"', "remark"),
        ('[keys]\n"look.again" = ""', "look.again"),
        ("[look]\nbounce_ms = -3", "look.bounce_ms"),
        ("[colours]\nx = 1", "colours"),
        ("nonsense", "TOML"),
    ],
)
def test_a_mistake_is_told_with_its_place(text: str, told: str) -> None:
    with pytest.raises(DrydownError) as problem:
        config.parsed(text, "drydown.toml")
    assert told in problem.value.sentence
    assert "drydown.toml" in problem.value.sentence


def test_keys_as_shipped_clash_nowhere() -> None:
    assert config.clashes({}) == []
