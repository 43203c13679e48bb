"""Bands of spectra under every name they were met with, and where their wavelengths stand."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from evaluation.readings.detect import read_readings
from evaluation.readings.run import Run
from evaluation.readings.supplied import Supplied

Write = Callable[..., Path]
Text = Callable[..., str]
NM = np.arange(380, 731, 10)
VALUES = np.linspace(0.05, 0.9, len(NM)).round(4)
HEADER = ("SPECTRAL_START_NM 380", 'SPECTRAL_END_NM "730.0"', "SPECTRAL_BANDS 36")


def read(path: Path, said: Supplied | None = None) -> Run:
    (run,) = read_readings(path, said)
    return run


def assert_the_spectrum(run: Run) -> None:
    assert run.spectra is not None and run.wavelengths is not None
    np.testing.assert_allclose(run.wavelengths, NM)
    np.testing.assert_allclose(run.spectra, [VALUES])


@pytest.mark.parametrize(
    "spelling",
    ["R({})", "R[{}]", "M1_{}", "M2 {} nm", "REFL_M0_{}nm", "SPECTRAL_DEC_{}", "Wavelength_{}", "X{}.00"],
)
def test_a_wavelength_in_the_name(write: Write, table: Text, spelling: str) -> None:
    names = ["SAMPLE_ID", *(spelling.format(nm) for nm in NM)]
    assert_the_spectrum(read(write(table(names, [[1, *VALUES]]))))


def test_percent_in_the_name_counts_however_dark_the_patch(write: Write, table: Text) -> None:
    names = ["SAMPLE_ID", *(f"SPECTRAL_PCT_{nm}" for nm in NM)]
    run = read(write(table(names, [[1, *np.full(len(NM), 0.5)]])))
    assert run.spectra is not None and run.spectra.max() == pytest.approx(0.005)


@pytest.mark.parametrize("start", [0, 1])
def test_bands_counted_through_take_their_wavelengths_from_the_header(
    write: Write, table: Text, start: int
) -> None:
    names = ["SAMPLE_ID", *(f"SPECTRAL_{n}" for n in range(start, start + len(NM)))]
    assert_the_spectrum(read(write(table(names, [[1, *VALUES]], HEADER))))


@pytest.mark.parametrize("name", ["SPECTRAL", "SPECTRAL_DEC"])
def test_bands_of_one_name_take_their_wavelengths_from_the_header(
    write: Write, table: Text, name: str
) -> None:
    names = ["SAMPLE_ID", *[name] * len(NM)]
    assert_the_spectrum(read(write(table(names, [[1, *VALUES]], HEADER))))


def test_counted_bands_take_what_the_user_says(write: Write, table: Text) -> None:
    names = ["SAMPLE_ID", *(f"SPECTRAL_{n}" for n in range(1, 37))]
    path = write(table(names, [[1, *VALUES]]))
    assert_the_spectrum(read(path, Supplied(first_nm=380, step_nm=10)))


def test_four_hundred_counted_bands_are_no_wavelengths(write: Write, table: Text) -> None:
    names = ["SAMPLE_ID", *(f"SPECTRAL_{n}" for n in range(1, 352))]
    rows = [[1, *np.linspace(0.1, 0.9, 351).round(4)]]
    run = read(write(table(names, rows, ("SPECTRAL_START_NM 380", "SPECTRAL_END_NM 730"))))
    assert run.wavelengths is not None and (run.wavelengths[0], run.wavelengths[-1]) == (380, 730)


def test_numbered_pairs(write: Write, table: Text) -> None:
    names = ["SAMPLE_ID"]
    row: list[object] = [1]
    for number, (nm, value) in enumerate(zip(NM, VALUES, strict=True), start=1):
        names += [f"SPECTRAL_NM_{number}", f"SPECTRAL_PCT_{number}"]
        row += [nm, round(value * 100, 4)]
    assert_the_spectrum(read(write(table(names, [row]))))


def test_columns_that_nothing_was_made_of_are_named(write: Write, table: Text) -> None:
    names = ["SAMPLE_ID", "Thickness", *(f"nm{nm}" for nm in NM), "STDEV_L"]
    run = read(write(table(names, [[1, 0.3, *VALUES, 0.1]])))
    assert_the_spectrum(run)
    assert "columns not used: Thickness, STDEV_L" in run.remarks


@pytest.mark.parametrize(
    "names",
    ["ROMM_R ROMM_G ROMM_B", "eciRGB_R eciRGB_G eciRGB_B", "RGB_RED RGB_GREEN RGB_BLUE", "Device R,Device G"],
)
def test_red_green_and_blue_under_names_of_their_own(write: Write, table: Text, names: str) -> None:
    rgb = names.split() if "," not in names else ["Device R", "Device G", "Device B"]
    run = read(write(table([*rgb, "LAB_L", "LAB_A", "LAB_B"], [[255, 128, 0, 50, 0, 0]])))
    assert run.device_space == "RGB" and run.device is not None
    np.testing.assert_allclose(run.device, [[1, 128 / 255, 0]])


def test_densities_by_colour_are_no_device_values(write: Write, table: Text) -> None:
    names = ["D_RED", "D_GREEN", "D_BLUE", "LAB_L", "LAB_A", "LAB_B"]
    assert read(write(table(names, [[0.1, 0.2, 0.3, 50, 0, 0]]))).device is None
