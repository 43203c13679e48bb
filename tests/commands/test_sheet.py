"""Sheets by the command line: drawn small, found again by their code, maps of one's own checked."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Drydown = Callable[..., Any]
CHART = Path(__file__).parents[1] / "sheet" / "data" / "chart-24.toml"


@pytest.fixture
def drawn(drydown: Drydown, tmp_path: Path) -> Any:
    """A small sheet, without its pages."""
    ran = drydown(
        "sheet",
        tmp_path / "s.tif",
        "--size",
        "A4",
        "--ppi",
        150,
        "--no-pages",
        "--no-form",
        "--no-pictures",
        "--json",
    )
    assert ran.code == 0, ran.err
    return ran.json


def test_the_printed_code_finds_the_map_again(drydown: Drydown, tmp_path: Path, drawn: Any) -> None:
    condition = tmp_path / "c.toml"
    condition.write_text('[condition]\npaper = "rag"\n', "utf-8")
    typed = drawn["code"].lower().replace("-", " ")
    begun = drydown("new", "--from", condition, "--sheet-code", typed)
    assert begun.code == 0, begun.err
    form = drydown("grade", begun.out.strip(), "--template").out
    assert "[skin]" in form and "[gradient]" in form


@pytest.mark.long
def test_another_code_is_told(drydown: Drydown, tmp_path: Path, drawn: Any) -> None:
    condition = tmp_path / "c.toml"
    condition.write_text('[condition]\npaper = "rag"\n', "utf-8")
    other = drydown(
        "sheet",
        tmp_path / "t.tif",
        "--size",
        "A4",
        "--ppi",
        150,
        "--no-pages",
        "--no-form",
        "--no-pictures",
        "--json",
    )
    ran = drydown(
        "new", "--from", condition, "--sheet", tmp_path / "s.sheet.toml", "--sheet-code", other.json["code"]
    )
    assert ran.code == 2 and "as the map says" in ran.err


def test_a_file_that_is_there_is_not_written_over(drydown: Drydown, tmp_path: Path, drawn: Any) -> None:
    ran = drydown("sheet", tmp_path / "s.tif", "--size", "A4", "--ppi", 150, "--no-pictures")
    assert ran.code == 2 and "--replace" in ran.err


def test_a_map_of_ones_own_is_checked(drydown: Drydown, tmp_path: Path) -> None:
    assert drydown("sheet", "--check", CHART, "--json").json["patches"] == 24
    broken = tmp_path / "mine.toml"
    broken.write_text(CHART.read_text("utf-8").replace('black = "24"', 'black = "Z9"'), "utf-8")
    ran = drydown("sheet", "--check", broken)
    assert ran.code == 1 and "mine.toml" in ran.err and "black" in ran.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--size", "large"), "size"),
        (("--ppi", "20"), "ppi"),
        (("--size", "30x40mm"), "No sheet was written"),
    ],
)
def test_what_cannot_be_drawn_is_told(
    drydown: Drydown, tmp_path: Path, words: tuple[str, ...], told: str
) -> None:
    ran = drydown("sheet", tmp_path / "x.tif", *words)
    assert ran.code in (1, 2) and told in ran.err
    assert list(tmp_path.glob("x.*")) == []


def test_the_least_area_stands_in_the_help_and_is_the_one_that_holds(
    drydown: Drydown, tmp_path: Path
) -> None:
    words = " ".join(drydown("sheet", "--help").out.split())
    assert "at least 180 x 216 mm inside the margins" in words
    alike = (
        "sheet",
        tmp_path / "s.tif",
        "--ppi",
        150,
        "--margins",
        0,
        0,
        0,
        0,
        "--no-pages",
        "--no-form",
        "--no-pictures",
    )
    small = drydown(*alike, "--size", "179x216mm")
    assert small.code == 2 and "180 x 216 mm" in small.err
    assert drydown(*alike, "--size", "180x216mm").code == 0
