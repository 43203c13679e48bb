"""Outputs that do not speak Unicode: signs are exchanged, nothing breaks, files stay UTF-8."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.cases import some_now
from tui.signs import PLAIN_SIGNS

Drydown = Callable[..., Any]
ENCODINGS = ("latin-1", "cp1252", "ascii")
PROFILE = Path(__file__).parents[2] / "fixtures" / "profiles" / "brackmoor-rag-fine.icc"
PAPER = "Größe “matt” – 中 λ ≠ ß"


@pytest.fixture
def begun(drydown: Drydown, tmp_path: Path) -> Path:
    """An archive with a session whose paper has a name that no old terminal can show."""
    condition = tmp_path / "condition.toml"
    condition.write_text(f'[condition]\npaper = "{PAPER}"\nmade_for = "general"\n', "utf-8")
    assert drydown("new", "--from", condition).code == 0
    return tmp_path


def ran(folder: Path, encoding: str, *words: object) -> tuple[int, str, str]:
    """The real command with outputs of that encoding; what it said is decoded strictly."""
    environ = os.environ | {"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0", "XDG_STATE_HOME": str(folder)}
    environ |= {"DRYDOWN_ARCHIVE": str(folder / "archive.db")}
    program = [sys.executable, "-c", "import sys, tui.cli; sys.exit(tui.cli.main())", *map(str, words)]
    done = subprocess.run(program, capture_output=True, env=environ, timeout=120)
    return done.returncode, done.stdout.decode(encoding), done.stderr.decode(encoding)


@pytest.mark.parametrize("encoding", some_now(ENCODINGS, "ascii"))
def test_a_list_and_a_refusal_can_be_read(begun: Path, encoding: str) -> None:
    code, out, err = ran(begun, encoding, "list")
    assert (code, err) == (0, "")
    assert {"latin-1": 'Größe "matt" - ? ? # ', "cp1252": "Größe “matt” – ? ? # "}.get(
        encoding, 'Gr??e "matt" - ? ? # '
    ) in out
    code, out, err = ran(begun, encoding, "sheet", "--ppi", "Größe")
    assert (code, out) == (2, "") and err.count("\n") == 1 and "\\u" not in err
    assert err.startswith("--ppi. Expected: a whole number. Found: ")


@pytest.mark.long
@pytest.mark.parametrize("encoding", ENCODINGS)
def test_bars_become_digits(tmp_path: Path, encoding: str) -> None:
    code, out, err = ran(tmp_path, encoding, "gamut", PROFILE)
    assert (code, err) == (0, "") and "12" in out


@pytest.mark.long
@pytest.mark.parametrize("words", [("--help",), ("compare", "--help"), ("settings",)])
def test_help_and_tables_can_be_read_in_ascii(tmp_path: Path, words: tuple[str, ...]) -> None:
    code, out, err = ran(tmp_path, "ascii", *words)
    assert code == 0 and out and err == ""


def test_what_is_led_into_a_file_is_utf_8_whatever_the_terminal_speaks(drydown: Drydown, begun: Path) -> None:
    chart = (Path(__file__).parents[1] / "sheet" / "data" / "chart-24.toml").read_text("utf-8")
    named = begun / "named.toml"
    named.write_text(chart.replace("number = 1\n", f'number = 1\ntitle = "{PAPER}"\n'), "utf-8")
    assert drydown("new", "--from", begun / "condition.toml", "--sheet", named).out == "2\n"
    environ = os.environ | {"PYTHONIOENCODING": "latin-1", "DRYDOWN_ARCHIVE": str(begun / "archive.db")}
    program = [sys.executable, "-c", "import sys, tui.cli; sys.exit(tui.cli.main())"]
    form = subprocess.run([*program, "grade", "2", "--template"],
                          capture_output=True, env=environ, timeout=120, check=True).stdout  # fmt: skip
    assert PAPER in form.decode("utf-8")


def test_every_sign_has_a_plain_one_of_the_same_width() -> None:
    assert all(len(plain) == 1 and plain.isascii() for plain in PLAIN_SIGNS.values())
