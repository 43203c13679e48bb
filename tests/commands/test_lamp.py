"""`drydown lamp`: the report as text and as JSON, and the list of names."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

Drydown = Callable[..., Any]


def test_without_a_lamp_it_lists_the_names(drydown: Drydown) -> None:
    ran = drydown("lamp")
    assert (ran.code, ran.err) == (0, "")
    assert "FL11      fluorescent, narrow-band" in ran.out
    named = drydown("lamp", "--json").json["lights"]
    assert {"name": "LED-B3", "what": "white LED, blue and phosphor", "kelvin": 4100} in named
    assert len(named) == len(ran.out.splitlines()) - 1


def test_each_number_stands_with_what_it_leaves_open(drydown: Drydown) -> None:
    ran = drydown("lamp", "fl11")
    assert (ran.code, ran.err) == (0, "")
    lines = ran.out.splitlines()
    assert lines[0] == "FL11, fluorescent, narrow-band: 380 to 780 nm in steps of 5 nm"
    at = next(number for number, line in enumerate(lines) if line.startswith("colour rendering index Ra"))
    assert lines[at].endswith(" 83") and lines[at + 1].startswith("    The mean of eight pale colours")
    assert "unconfirmed" in ran.out
    assert max(map(len, lines)) <= 80


def test_several_lamps_as_json(drydown: Drydown, tmp_path: Path) -> None:
    file = tmp_path / "hall.csv"
    file.write_text("".join(f"{nm},1\n" for nm in range(380, 781, 5)))
    ran = drydown("lamp", file, "D65", "--json")
    assert (ran.code, ran.err) == (0, "")
    assert [one["name"] for one in ran.json["lamps"]] == ["hall", "D65"]
    assert set(ran.json["tells_not"]) == set(ran.json["lamps"][0]["numbers"])


def test_a_lamp_that_is_none_ends_in_one_sentence(drydown: Drydown) -> None:
    ran = drydown("lamp", "led-c3")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.count("\n") == 1 and "Perhaps “LED-B3” is meant." in ran.err
