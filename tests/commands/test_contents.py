"""`drydown contents` on paper and screen: every fact of a file of readings and of a profile can be read."""

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fixtures.printer import icc
from tests.profile.carrying import carrying, table, text_tag

ROOM = Path(icc.__file__).parents[1]

Drydown = Callable[..., Any]


def facts(text: str) -> dict[str, str]:
    """The first line of each name."""
    found: dict[str, str] = {}
    for line in text.splitlines()[1:]:
        name, _, value = line.strip().partition("  ")
        found.setdefault(name, value.strip())
    return found


def test_tables_inside_a_fact_are_told(drydown: Drydown) -> None:
    told = facts(drydown("contents", ROOM / "readings" / "rag-fine-dry.txt").out)
    assert told["wavelengths"] == "first 380, last 730, step 10"
    assert told["paper"].startswith("lab 96.")
    assert told["density basis"] == "ISO 5-3 visual, from the spectrum"
    assert told["warnings"] == "none"


def test_each_of_several_tables_has_lines_of_its_own(drydown: Drydown) -> None:
    ran = drydown("contents", ROOM / "readings" / "rag-fine-dry.txt")
    assert "\nruns 1 of 2\n" in ran.out and "\nruns 2 of 2\n" in ran.out
    assert "\n  condition        M1\n" in ran.out and "\n  condition        M2\n" in ran.out
    assert ran.out.count("not stated") == 4  # illuminant and observer, of two tables


def test_a_profile_is_told_apart_by_its_first_bytes(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "profile.txt"  # whatever its name
    path.write_bytes((ROOM / "profiles" / "brackmoor-rag-fine.icc").read_bytes())
    told = facts(drydown("contents", path).out)
    assert (told["kind"], told["class"], told["device space"]) == ("profile", "output", "RGB")
    assert told["intents"] == "perceptual, relative colorimetric, saturation"
    document = drydown("contents", path, "--json").json
    keys = {"kind", "class", "device_space", "pcs", "version", "description", "created", "white", "intents"}
    assert document.keys() == keys | {"warnings", "made_from"}


def test_what_a_profile_was_made_from_is_told_and_damage_to_it_is_a_warning(
    drydown: Drydown, tmp_path: Path
) -> None:
    """Counts, paper and darkest worked out again from the rows themselves."""
    rows = [(n, *(v,) * 3, round(8 + v * 0.35, 2), 0.1, -0.2) for n, v in enumerate(range(0, 256, 51), 1)]
    inside = table("SAMPLE_ID RGB_R RGB_G RGB_B LAB_L LAB_A LAB_B", rows, 'MEASUREMENT_CONDITION "M0"\n')
    sound = (ROOM / "profiles" / "brackmoor-rag-fine.icc").read_bytes()
    path = tmp_path / "rag.icc"
    path.write_bytes(carrying(sound, {b"targ": text_tag(inside)}))
    told = drydown("contents", path, "--json").json
    made_from = told["made_from"]
    assert (made_from["format"], made_from["patches"], made_from["conditions"]) == (
        "ISO 28178 text",
        6,
        ["M0"],
    )
    lightest, darkest = max(row[4] for row in rows), min(row[4] for row in rows)
    assert made_from["paper"]["lab"] == [lightest, 0.1, -0.2]
    density = -math.log10((darkest / 903.2963) if darkest <= 8 else ((darkest + 16) / 116) ** 3)
    assert made_from["darkest"]["density"] == round(density, 3) and told["warnings"] == []
    assert "made from" in drydown("contents", path).out

    path.write_bytes(carrying(sound, {b"targ": text_tag(inside[:-30])}))
    told = drydown("contents", path, "--json").json
    assert told["made_from"] is None and told["class"] == "output"
    assert told["warnings"][0].startswith("What it was made from cannot be read: rag.icc, tag “targ”, line ")


def test_a_damaged_profile_is_told_as_a_profile(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "cut.icc"
    path.write_bytes((ROOM / "profiles" / "brackmoor-rag-fine.icc").read_bytes()[:9000])
    ran = drydown("contents", path)
    assert ran.code == 1 and "the file was cut" in ran.err and "profile" in ran.err


def test_control_codes_in_a_profile_reach_no_terminal(drydown: Drydown, tmp_path: Path) -> None:
    content = (ROOM / "profiles" / "brackmoor-rag-fine.icc").read_bytes()
    hostile = content.replace("Brackmoor".encode("utf-16-be"), "\x1b[31mBrac".encode("utf-16-be"), 1)
    path = tmp_path / "hostile.icc"
    path.write_bytes(hostile)
    assert hostile != content and "\x1b" not in drydown("contents", path).out


def test_the_white_of_a_profile_is_named_with_its_unit(drydown: Drydown) -> None:
    told = facts(drydown("contents", ROOM / "profiles" / "brackmoor-rag-fine.icc").out)
    assert "white" not in told and len(told["white (XYZ, Y = 1)"].split(", ")) == 3


def test_a_list_to_print_is_said_to_hold_no_readings(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "x.patches.txt"
    path.write_text(
        "ISO28178\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_ID RGB_R RGB_G RGB_B\nEND_DATA_FORMAT\n"
        "NUMBER_OF_SETS 2\nBEGIN_DATA\nA1 255 255 255\nA2 0 0 0\nEND_DATA\n"
    )
    document = drydown("contents", path, "--rgb-scale", "255", "--json").json
    assert document["kind"] == "readings" and document["patches"] == 2
    assert "nothing measured in it, only values to print: a list of patches" in document["warnings"]


def test_of_a_file_that_holds_nothing_it_is_not_said_that_nothing_was_taken_in(
    drydown: Drydown, tmp_path: Path
) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear printer\n", "utf-8")
    ran = drydown("contents", path)
    assert ran.code == 1
    assert "What is in it is not known." in ran.err and "taken in" not in ran.err


def test_densities_of_the_instrument_stand_beside_the_computed_one(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "strip.txt"
    path.write_text(
        table("SAMPLE_ID LAB_L LAB_A LAB_B D_VIS", [(1, 95, 0, 0, 0.05), (2, 10, 0, 0, 1.92)], "FILTER T\n")
    )
    told = facts(drydown("contents", path).out)
    assert (told["density"], told["status"], told["densities"]) == ("1.95", "T", "visual 1.92")
