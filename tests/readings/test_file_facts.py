"""`contents`: the facts of a file as plain JSON, whatever is still to be asked about it."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from evaluation.errors import FileProblem
from evaluation.readings.file_facts import file_facts

Write = Callable[..., Path]
Text = Callable[..., str]


def test_three_conditions_of_one_sheet(three_conditions: Path) -> None:
    document = file_facts(three_conditions)
    assert json.loads(json.dumps(document)) == document
    assert {key: document[key] for key in ("kind", "format", "patches", "device_space", "has_spectra")} == {
        "kind": "readings",
        "format": "ISO 28178 text",
        "patches": 26,
        "device_space": "RGB",
        "has_spectra": True,
    }
    assert document["wavelengths"] == {"first": 380.0, "last": 730.0, "step": 10.0}
    assert document["conditions"] == ["M0", "M1", "M2"]
    # The file's own CIELAB of patch A1 under M0, rounded there to two digits from better spectra.
    assert document["paper"]["lab"] == pytest.approx([96.14, 0.67, -1.54], abs=0.02)
    assert document["darkest"]["name"] == "A2"
    assert document["darkest"]["density_basis"].startswith("ISO 5-3")
    assert document["warnings"] == []
    black = document["runs"][0]["black"]
    assert black["density"] == document["darkest"]["density"]
    assert 1.9 < black["above_paper"] < black["density"]


def test_density_of_lab_alone_names_its_basis(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B")
    document = file_facts(write(table(names, [(1, 95, 0, -3), ("black", 8.991, 0, 0)])))
    # L* 8.991 is Y 1: density 2 (CIE L* formula, linear part above it).
    assert document["darkest"]["density"] == pytest.approx(2.0, abs=0.003)
    assert document["darkest"]["density_basis"].startswith("from Y")
    assert document["conditions"] == ["not stated"] and document["wavelengths"] is None


def test_list_of_patches_to_print(write: Write, table: Text) -> None:
    document = file_facts(
        write(table(("SAMPLE_ID", "RGB_R", "RGB_G", "RGB_B"), [(1, 255, 0, 0), (2, 0, 0, 0)]))
    )
    assert (document["patches"], document["device_space"], document["has_spectra"]) == (2, "RGB", False)
    assert document["paper"] is None and document["darkest"] is None
    assert any("only values to print" in warning for warning in document["warnings"])


def test_a_table_of_differences_holds_no_readings(write: Write, table: Text) -> None:
    with pytest.raises(FileProblem, match="none among DE_2000, STDEV_L"):
        file_facts(write(table(("SAMPLE_ID", "DE_2000", "STDEV_L"), [(1, 0.4, 0.1)])))


def test_what_would_be_asked_is_a_warning(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "RGB_R", "RGB_G", "RGB_B", "LAB_L", "LAB_A", "LAB_B")
    document = file_facts(write(table(names, [(1, 100, 0, 0, 50, 0, 0)])))
    assert any("--rgb-scale" in warning for warning in document["warnings"])
    assert document["paper"]["lab"] == [50, 0, 0]
    assert document["runs"][0]["black"] is None


def test_lab_of_another_light_is_a_warning(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B")
    document = file_facts(write(table(names, [(1, 50, 0, 0)], ['ILLUMINANT "D65"'])))
    assert document["paper"] is None
    assert any("D65" in warning for warning in document["warnings"])


def test_control_codes_are_shown_never_sent(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B")
    text = table(names, [(1, "\x1b[31mred\x07", 5, 0, 0)], ['ILLUMINANT "D50"'], first="\x1b]0;title\x07\n")
    shown = json.dumps(file_facts(write(text)), ensure_ascii=False)
    assert not any(ord(char) < 0x20 for char in shown)
    assert "␛[31mred␇" in shown


def test_uneven_steps_have_no_step(write: Write, table: Text) -> None:
    nm = [*range(380, 500, 5), *range(500, 731, 10)]
    document = file_facts(write(table(("SAMPLE_ID", *(f"nm{w}" for w in nm)), [(1, *[0.5] * len(nm))])))
    assert document["wavelengths"] == {"first": 380.0, "last": 730.0, "step": None}


def test_what_cannot_be_read_is_refused(write: Write) -> None:
    with pytest.raises(FileProblem):
        file_facts(write("CGATS.17\n"))
