"""A lamp's spectrum from a file."""

from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.lamps import read_lamp
from evaluation.errors import FileProblem

NM = np.arange(380, 781, 5)
FLAT = [f"{nm},1" for nm in range(400, 701, 10)]
POWER = illuminants()["LED-B3"].power[20::5] / illuminants()["LED-B3"].power[20::5].max()
SCALED = illuminants()["LED-B3"].power / illuminants()["LED-B3"].power[20::5].max()


def written(path: Path, rows, encoding="utf-8") -> Path:
    path.write_text("\n".join(rows) + "\n", encoding=encoding)
    return path


@pytest.mark.parametrize(
    ("heading", "row"),
    [
        ("nm,power", "{nm},{power}"),
        ("Wavelength (nm);W/m2", "{nm};{power}"),
        ("gallery, north wall\n\nnm\tpower", "{nm}\t{power}"),
        ("nm power", "{nm}  {power}"),
        ("nm, power", "{nm}, {power}"),
        ("\ufeffnm,power", '"{nm}","{power}"'),
        ("", "{nm},{power},"),
        ("", "{nm}, {power},"),
    ],
    ids=[
        "comma",
        "semicolon",
        "tab",
        "space",
        "comma and space",
        "quoted",
        "trailing comma",
        "trailing comma and space",
    ],
)
def test_two_columns_however_they_are_parted(tmp_path, heading, row):
    rows = [heading, *(row.format(nm=nm, power=f"{p:.6f}") for nm, p in zip(NM, POWER, strict=True))]
    light = read_lamp(written(tmp_path / "gallery LED.csv", rows))
    assert light.name == "gallery LED"
    np.testing.assert_allclose(light.power, SCALED, atol=3e-6)


@pytest.mark.parametrize("parting", ["\t", ";", " "])
def test_decimal_commas(tmp_path, parting):
    rows = [f"{nm},0{parting}{p:.6f}".replace(".", ",") for nm, p in zip(NM, POWER, strict=True)]
    light = read_lamp(written(tmp_path / "lamp.csv", rows))
    np.testing.assert_allclose(light.power, SCALED, atol=3e-6)


def test_decimal_commas_between_commas_are_not_guessed_at(tmp_path):
    rows = [f"{nm},0,{n % 10}{n % 7}" for n, nm in enumerate(NM)]
    with pytest.raises(FileProblem, match=r"line 1\. Expected: wavelength and power\. Found: 380,0,00"):
        read_lamp(written(tmp_path / "lamp.csv", rows))


def test_outside_of_its_spectrum_a_lamp_has_no_power(tmp_path):
    power = read_lamp(written(tmp_path / "lamp.csv", FLAT)).power
    np.testing.assert_allclose(power[[0, 39, 40, 340, 341, 420]], [0, 0, 1, 1, 0, 0], atol=1e-12)


def test_dark_noise_below_0_counts_as_0(tmp_path):
    rows = [f"{nm},{p - 0.001:.6f}" for nm, p in zip(NM, POWER, strict=True)]
    assert read_lamp(written(tmp_path / "lamp.csv", rows)).power.min() == 0.0


def test_the_xml_of_ies_tm_27_as_colour_science_writes_it(tmp_path, colour_science):
    path = tmp_path / "lamp.spdx"
    theirs = colour_science.SpectralDistribution_IESTM2714(
        str(path), data=dict(zip(map(float, NM), POWER, strict=True)), spectral_quantity="relative"
    )
    theirs.header.description = "an invented lamp"
    theirs.write()
    light = read_lamp(path)
    np.testing.assert_allclose(light.power, SCALED, atol=3e-6)


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        (["nm,power"], "rows of wavelength and power. Found: 0 of them"),
        ([*FLAT, "total,31"], "line 32. Expected: wavelength and power. Found: total,31"),
        ([*FLAT, "700,2"], "rising wavelengths. Found: 700 nm after a longer or equal one"),
        (FLAT[4:], "400 to 680 nm or beyond. Found: 440 to 700 nm"),
        (FLAT[:3] + FLAT[6:], "steps of at most 20 nm. Found: one of 40 nm"),
        ([row.replace(",1", ",0") for row in FLAT], "power above 0. Found: 0 to 0"),
        ([*FLAT, "710,-0.5"], "power above 0. Found: -0.5 to 1"),
        ([*FLAT, "710,1e9"], "light between 400 and 680 nm. Found: next to none beside that at 710 nm"),
        ([*FLAT, "710,nan"], "line 32. Expected: wavelength and power"),
        (["<lamp>"], "Expected: XML"),
        (["<!DOCTYPE lamp [<!ENTITY a 'b'>]><lamp/>"], "document type"),
        (["<lamp><SpectralData wavelength='400'>x</SpectralData></lamp>"], "Found: 1 of them"),
        (["<l>" + "<SpectralData wavelength='400'>x</SpectralData>" * 3 + "</l>"], "numbers throughout"),
    ],
)
def test_what_is_no_lamp_is_refused_in_one_sentence(tmp_path, rows, says):
    with pytest.raises(FileProblem, match=says.replace(".", r"\.")) as problem:
        read_lamp(written(tmp_path / "lamp.csv", rows))
    assert problem.value.sentence.startswith("lamp.csv")
    assert problem.value.sentence.endswith("Export its spectrum as two columns, wavelength in nm and power.")


@pytest.mark.parametrize("scale", [1e-320, 1e-3, 1e12, 1.7e308])
def test_any_scale_is_the_same_light(tmp_path, scale):
    rows = [f"{nm},{scale!r}" for nm in range(380, 781, 5)]
    light = read_lamp(written(tmp_path / "lamp.csv", rows))
    np.testing.assert_allclose(light.power[20:], 1.0)


def test_a_missing_or_huge_file_is_refused(tmp_path):
    with pytest.raises(FileProblem, match="Found: nothing of that name"):
        read_lamp(tmp_path / "lost.csv")
    huge = tmp_path / "huge.csv"
    huge.write_bytes(b"0" * 4_000_001)
    with pytest.raises(FileProblem, match="more than 4 MB"):
        read_lamp(huge)
    (tmp_path / "binary.csv").write_bytes(bytes(range(256)) * 20)
    with pytest.raises(FileProblem, match="0 of them"):
        read_lamp(tmp_path / "binary.csv")


@pytest.mark.parametrize("names", ["SPEC_{}", "nm{}", '"SPECTRAL_NM{}"', "{} nm"])
def test_a_table_with_a_column_a_band_is_one_lamp(tmp_path, names):
    """ISO 28178 text with its keywords, and CSV, as instruments write a light beside their prints."""
    power = [0.5 + nm / 1000 for nm in range(380, 781, 5)]
    bands = "\t".join(names.format(nm) for nm in range(380, 781, 5))
    row = "\t".join(f"{value:g}" for value in power)
    pairs = [f"{nm},{value:g}" for nm, value in zip(range(380, 781, 5), power, strict=True)]
    two = read_lamp(written(tmp_path / "two.csv", pairs))
    block = f"BEGIN_DATA_FORMAT\nSAMPLE_ID\t{bands}\nEND_DATA_FORMAT\nBEGIN_DATA\n1\t{row}\n"
    text = f"CGATS.17\nSPECTRAL_BANDS 81\nNUMBER_OF_FIELDS 82\n{block}END_DATA\n"
    for content in (text, f"{bands}\n{row}\n"):
        light = read_lamp(written(tmp_path / "lamp.txt", [content]))
        np.testing.assert_allclose(light.power, two.power, atol=1e-9)
    with pytest.raises(FileProblem, match=r"one light source\. Found: 2 rows of 82 cells"):
        twice = text.replace("\nEND_DATA\n", f"\n2\t{row}\nEND_DATA\n")
        read_lamp(written(tmp_path / "lamp.txt", [twice]))
