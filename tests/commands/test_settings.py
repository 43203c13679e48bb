"""The settings in force are shown with their marks; the user's file is laid over them and named."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.commands.conftest import decided, unpromised

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
    mine.write_text("[routine]\nreference_every = 30\n", "utf-8")
    own = drydown("settings", "--json").json
    assert own["digest"] == before and own["overridden"] == []  # no result rests on it
    assert [(row["name"], row["value"], row["overridden"]) for row in own["routine"]] == [
        ("reference_every", 30, True)
    ]
    assert "* reference_every 30 days, own choice: the user's own; shipped: 14" in " ".join(
        drydown("settings").out.split()
    )


def test_the_limits_of_clues_are_settings_too_and_named_in_what_a_cause_says(
    drydown: Drydown, mine: Path
) -> None:
    mine.write_text("[clues]\nblack_apart = 0.25\n", "utf-8")
    rows = {row["name"]: row for row in drydown("settings", "--json").json["clues"]}
    assert (rows["black_apart"]["value"], rows["black_apart"]["overridden"]) == (0.25, True)
    assert not rows["black_far"]["overridden"]
    shown = " ".join(drydown("settings").out.split())
    assert "* black_apart 0.25 density" in shown and "dCh: distance in a* and b* alone" in shown


def test_no_mark_is_shown_as_a_code(drydown: Drydown) -> None:
    shown = drydown("settings").out
    assert "unconfirmed" in shown and "MEMORY" not in shown and "READ" not in shown


def test_a_mistake_in_the_file_is_named_and_nothing_is_weighed(drydown: Drydown, mine: Path) -> None:
    mine.write_text("[thresholds]\nflair = 0.01\n", "utf-8")
    ran = drydown("settings")
    assert ran.code == 1 and "thresholds.flair" in ran.err and "no-weighing.toml" in ran.err


def test_causes_are_settings_too_and_shown(drydown: Drydown, mine: Path) -> None:
    mine.write_text("[causes]\nc01 = 0.5\n", "utf-8")
    rows = {row["id"]: row for row in drydown("settings", "--json").json["causes"]}
    assert (rows["c01"]["factor"], rows["c01"]["overridden"]) == (0.5, True)
    assert (rows["c02"]["factor"], rows["c02"]["overridden"]) == (1.0, False)
    assert "* c01 0.5" in " ".join(drydown("settings").out.split())


def test_a_use_of_three_words_is_starred_when_it_is_changed(drydown: Drydown, mine: Path) -> None:
    mine.write_text("[uses.black_and_white]\nring = 3\n", "utf-8")
    rows = {row["name"]: row["overridden"] for row in drydown("settings", "--json").json["uses"]}
    assert rows == {"general": False, "black and white": True, "portrait": False, "landscape": False}


def test_a_folder_or_other_bytes_in_its_place_are_told_as_such(drydown: Drydown, mine: Path) -> None:
    mine.write_bytes(b"\xff\xfe")
    assert "Found: other bytes. The settings were not read." in drydown("settings").err
    mine.unlink()
    mine.mkdir()
    assert "Found: a folder. The settings were not read." in drydown("settings").err


@pytest.mark.parametrize(
    "text", ["", "  \n", "# nothing yet\n", "\ufeff[thresholds]\n", "[anchors.evenness]\n"]
)
def test_a_file_that_changes_nothing_changes_nothing(drydown: Drydown, mine: Path, text: str) -> None:
    shipped = drydown("settings", "--json").json
    mine.write_text(text, "utf-8")
    assert drydown("settings", "--json").json == shipped


@pytest.mark.long
def test_a_weighing_names_the_settings_it_went_by(demo_room: Drydown, mine: Path, tmp_path: Path) -> None:
    drydown = demo_room
    told = drydown("weigh", 1).out
    assert "Anchors, from a reading to a grade: the project's own choice." in told
    digest = drydown("weigh", 1, "--json").json["settings"]
    assert f"Weighed with settings as shipped (digest {digest[:12]})." in told
    mine.write_text(
        "[thresholds]\nflare = 0.01\n[anchors.evenness]\nat = [0.12, 0.25, 0.4, 0.7, 1.2]\n", "utf-8"
    )
    told = drydown("weigh", 1).out
    assert "Weighed with settings of your own: anchors.evenness.at, thresholds.flare (digest" in told
    assert "the project's own choice, but for the user's own of evenness." in told
    page = tmp_path / "page.md"
    assert drydown("appendix", 1, "-o", page, "--parts", "whole").code == 0
    assert "are the project's own choice, but for the user's own of evenness." in page.read_text("utf-8")
    assert digest[:12] not in told


@pytest.mark.long
def test_verdicts_go_by_limits_from_own_decisions_until_these_are_taken_out(
    demo_room: Drydown, mine: Path, tmp_path: Path
) -> None:
    """Found on a strict person's decisions; fours, good by the shipped limits, have remarks then."""
    file = tmp_path / "booth.txt"
    numbers = decided(tmp_path / "archive.db", file)
    four = numbers[2]
    before = demo_room("weigh", four, "--json").json["verdicts"]["general"]
    assert len(before["reasons"]) == 1, "remarks on what was not prepared, on no region"
    said = demo_room("settings", "--from-decisions", file)
    assert (said.code, said.err) == (0, "")
    assert f"add these lines to {mine}; to undo that, delete them." in said.out.replace("\n", " ")
    assert "to 20 decisions in “booth.txt”: the limits agree with 20 of them." in said.out
    assert said.out.count("  # ± ") == 4
    made = demo_room("settings", "--from-decisions", file, "--json").json
    assert unpromised("settings", made) == []
    assert (made["name"], made["decisions"], made["left_out"]) == ("booth.txt", 20, [])
    assert made["made"] in said.out and made["toml"] in said.out
    assert min(made["spreads"].values()) > 0.1, "no print lies between two whole grades"
    mine.write_text(said.out, "utf-8")  # as printed, remarks included
    after = demo_room("weigh", four, "--json").json["verdicts"]["general"]
    assert "Saturation 4.0. Nothing was read here." in after["reasons"]
    mine.unlink()
    assert demo_room("weigh", four, "--json").json["verdicts"]["general"] == before
