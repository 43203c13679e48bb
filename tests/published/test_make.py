"""The shipped tables are those that colour-science gives, to the last character."""

from pathlib import Path

import pytest

import evaluation.published
from evaluation.published import make
from evaluation.published.passport import read_table

HERE = Path(evaluation.published.__file__).parent


@pytest.fixture(scope="module")
def made() -> dict[str, str]:
    return make.tables()


@pytest.mark.parametrize("name", make.TABLES)
def test_a_shipped_table_is_the_one_that_would_be_made(made: dict[str, str], name: str) -> None:
    """CIE 018:2019, CIE 015:2018 and ISO 17321-1:2012 as colour-science holds them."""
    assert (HERE / name).read_text(encoding="utf-8") == made[name]


def test_only_standard_lights_go_by_a_name(made: dict[str, str]) -> None:
    """Lamps on the market are known by their makers' names: those are nobody's standard."""
    names = read_table(made["light-names.csv"], "light-names.csv").column("name")
    assert len(names) == 52
    assert all(name.rstrip("0123456789.") in STANDARD for name in names)


STANDARD = ("A", "B", "C", "D", "E", "FL", "HP", "ID", "LED-B", "LED-BH", "LED-RGB", "LED-V")
