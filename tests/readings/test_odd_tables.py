"""Twins of real tables that were misread: odd scales, no header, facts in plain words, places of values."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from evaluation.errors import FileProblem
from evaluation.readings.detect import read_readings
from evaluation.readings.file_facts import file_facts
from evaluation.readings.supplied import OpenQuestions, Supplied
from tests.profile.carrying import table

Write = Callable[..., Path]
NM = np.arange(380, 731, 10)
DRAW = np.random.default_rng(5)
SPECTRA = np.round(DRAW.uniform(0.05, 0.9, (24, 1)) + DRAW.uniform(0, 0.05, (24, 36)), 4)
M1 = Supplied(condition="M1")


def down(heading: str, nm: object, values: object) -> str:
    """Wavelengths down the page."""
    names = ",".join((heading, *(f"P{n}" for n in range(1, 25))))
    rows = [",".join(f"{value:g}" for value in row) for row in np.column_stack((nm, values))]
    return "\n".join((names, *rows)) + "\n"


@pytest.mark.parametrize("heading", ["Wavelength (µm)", "um", "wavelength", "Wavelengths [micron]"])
def test_wavelengths_down_the_page_in_micrometres(write: Write, heading: str) -> None:
    (run,) = read_readings(write(down(heading, NM / 1000, SPECTRA.T), "table.csv"), M1)
    np.testing.assert_allclose(run.wavelengths, NM)
    np.testing.assert_allclose(run.spectra, SPECTRA)


def test_spectra_in_thousandths_are_asked_about_and_read(write: Write) -> None:
    path = write(down("nm", NM, SPECTRA.T * 1000), "table.csv")
    with pytest.raises(OpenQuestions, match=r"--spectral-scale percent\|thousandths"):
        read_readings(path, M1)
    (run,) = read_readings(path, Supplied(condition="M1", spectral_scale="thousandths"))
    np.testing.assert_allclose(run.spectra, SPECTRA)
    rows = [(n, *row) for n, row in enumerate(SPECTRA * 1000, 1)]
    stated = table(f"SAMPLE_ID {' '.join(f'nm{nm}' for nm in NM)}", rows, "SPECTRAL_NORM 1000\n")
    np.testing.assert_allclose(read_readings(write(stated), M1)[0].spectra, SPECTRA)


def test_a_value_down_the_page_is_named_by_its_own_line_and_sample(write: Write) -> None:
    values = SPECTRA.T.copy()
    values[30, 6] = 7000
    text = "\n".join(f"# {n}" for n in range(20)) + "\n" + down("nm", NM, values)
    assert text.splitlines()[51].startswith("680,")
    with pytest.raises(FileProblem, match=r"table\.csv, line 52, P7\. "):
        read_readings(write(text, "table.csv"), Supplied(condition="M1", spectral_scale="fraction"))


@pytest.mark.parametrize("ids", [None, "number", "name"])
def test_spectra_without_a_header_need_two_numbers(write: Write, ids: str | None) -> None:
    """24 rows of 36 numbers: ISO 13655 measures from 380 to 730 nm in steps of 10 (READ in its clause 4)."""
    first = {None: "", "number": "{};", "name": "P{};"}[ids]
    lines = [first.format(n) + ";".join(f"{value:g}" for value in row) for n, row in enumerate(SPECTRA, 1)]
    path = write("\n".join(lines) + "\n", "bare.csv")
    with pytest.raises(OpenQuestions) as caught:
        read_readings(path, M1)
    assert "36 columns of numbers; for 380 to 730 nm type --first-nm 380 --step-nm 10" in caught.value.found
    assert [asked.field for asked in caught.value.questions] == ["first_nm", "step_nm"]
    (run,) = read_readings(path, Supplied(condition="M1", first_nm=380, step_nm=10))
    np.testing.assert_allclose(run.wavelengths, NM)
    np.testing.assert_allclose(run.spectra, SPECTRA)
    assert run.patches[2].id == ("P3" if ids == "name" else "3")


@pytest.mark.parametrize("made", ["ID,R,G,B\n1,0,0,0\n2,9,0,9\n", table("ID R G B", [(1, 0, 0, 9)])])
def test_device_values_alone_are_a_list_of_patches(write: Write, made: str) -> None:
    path = write(made, "list.csv")
    with pytest.raises(FileProblem, match="device values only, a list of patches to print"):
        read_readings(path, Supplied(rgb_scale=255))
    facts = file_facts(path, Supplied(rgb_scale=255))
    assert facts["device_space"] == "RGB" and facts["paper"] is None
    assert any("nothing measured in it" in warning for warning in facts["warnings"])


@pytest.mark.parametrize(
    ("keyword", "illuminant", "observer", "backing"),
    [
        ('INSTRUMENTATION "hand-held, D50, 2 degree, white backing"', "D50", "2", "white"),
        ('COMMENT "measured on black, D65/10°"', "D65", "10", "black"),
        ('REMARKS "backing: white; 2-degree observer"', None, "2", "white"),
        ('COMMENT "D50 or D65; room at 2 degrees C, on a white day"', None, None, None),
        ('SAMPLE_BACKING "black"\nCOMMENT "white backing under it"', None, None, "black"),
    ],
)
def test_plain_words_of_a_header_are_read_with_where_they_stood(
    write: Write, keyword: str, illuminant: str | None, observer: str | None, backing: str | None
) -> None:
    text = table("SAMPLE_ID LAB_L LAB_A LAB_B", [(1, 95, 0, 0), (2, 20, 0, 0)], keyword + "\n")
    (run,) = read_readings(write(text))
    stated = run.stated
    assert (stated.illuminant, stated.observer, stated.backing) == (illuminant, observer, backing)
    if observer:
        name = keyword.split()[0]
        assert f"observer {observer} taken from the words of {name}" in run.remarks


def test_of_two_dates_that_of_the_measurement_counts_and_one_that_names_no_day_is_told(write: Write) -> None:
    rows = [(1, 95, 0, 0)]
    words = 'PROD_DATE "2011:01"\nCREATED "2026-03-01"\nMEASUREMENT_DATE "2015-05-12 14:30"\n'
    (run,) = read_readings(write(table("SAMPLE_ID LAB_L LAB_A LAB_B", rows, words)))
    assert run.stated.measured_at is not None and run.stated.measured_at.year == 2015
    (run,) = read_readings(write(table("SAMPLE_ID LAB_L LAB_A LAB_B", rows, 'CREATED "May 2015"\n')))
    assert run.stated.measured_at is None
    assert any("“May 2015”, which names no day" in remark for remark in run.remarks)
    said = Supplied(measured_at=datetime(2015, 5, 12, tzinfo=UTC))  # nothing is left to state
    (run,) = read_readings(write(table("SAMPLE_ID LAB_L LAB_A LAB_B", rows, 'CREATED "May 2015"\n')), said)
    assert not any("names no day" in remark for remark in run.remarks)


def test_sentences_count_in_words_that_fit(write: Write) -> None:
    rows = [(1, 0, 0, 0, 9, 0, 0), (1, 255, 0, 0, 9, 0, 0)]
    twice = table("SAMPLE_ID RGB_R RGB_G RGB_B LAB_L LAB_A LAB_B", rows)
    (run,) = read_readings(write(twice))
    assert "id 1 has rows with different device values" in run.remarks
    with pytest.raises(OpenQuestions, match="4 columns with"):
        read_readings(write("1 2 3 4\n5 6 7 8\n", "bare.txt"))
    with pytest.raises(FileProblem, match=r"Expected: 1 value\. Found: 2\."):
        read_readings(write("BEGIN_DATA_FORMAT\nLAB\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2\nEND_DATA\n"))
