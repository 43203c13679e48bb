"""Oddities of ISO 28178 text in any combination: the same readings come out, whatever met in one file."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import numpy as np
import pytest

from evaluation.readings.detect import read_readings
from evaluation.readings.run import Array

Write = Callable[..., Path]
ROWS = 6
RGB = np.array([[255, 255, 255], [0, 0, 0], [128.5, 128.5, 128.5], [255, 0, 0], [12, 200, 30], [0, 0, 90.5]])
LAB = np.array([[95.5, 0.2, -3.1], [4, 0, 0], [52.1, 1, -1], [48, 66, 50], [70, -60, 55], [12, 20, -45.5]])
GRIDS = (np.arange(380.0, 731, 10), np.arange(360.0, 741, 20), np.arange(400.0, 701, 10))


def spectra(nm: Array) -> Array:
    return np.asarray(0.02 + 0.9 * np.linspace(0, 1, ROWS)[:, None] * (nm / 800)).round(5)


@dataclass
class Made:
    """A file in the making: names and columns side by side, what stands before and after."""

    chance: Random
    comma: bool = False
    percent: bool = False
    separator: str = "\t"
    names: list[str] = field(default_factory=list)
    columns: list[list[str]] = field(default_factory=list)
    head: list[str] = field(default_factory=list)

    def number(self, value: float, digits: int) -> str:
        text = f"{value:.{digits}f}"
        return text.replace(".", ",") if self.comma else text

    def add(self, names: list[str], values: Array, digits: int) -> None:
        self.names += names
        self.columns += [[self.number(value, digits) for value in column] for column in values.T]


def bands(made: Made, nm: Array) -> None:
    """The spectra under one of their spellings."""
    values = spectra(nm) * (100 if made.percent else 1)
    spelling = made.chance.choice(
        ("nm{}", "SPECTRAL_{}", "SPECTRAL_NM_{}", "spectral_nm{}", "pairs", "counted")
    )
    if spelling == "pairs":
        for at, wavelength in enumerate(nm):
            made.names += ["SPECTRAL_NM", "SPECTRAL_PCT" if made.percent else "SPECTRAL_DEC"]
            made.columns += [[f"{wavelength:g}"] * ROWS, [made.number(v, 5) for v in values[:, at]]]
    elif spelling == "counted":
        made.head += [f'SPECTRAL_START_NM "{nm[0]:g}"', f'SPECTRAL_END_NM "{nm[-1]:g}"']
        made.add([f"SPECTRAL_{n}" for n in range(1, len(nm) + 1)], values, 5)
    else:
        made.add([spelling.format(f"{wavelength:g}") for wavelength in nm], values, 5)


def file_of(chance: Random, nm: Array, condition: str) -> bytes:
    """Everything that may be odd, drawn anew."""
    separator = chance.choice(("\t", " ", "   "))
    made = Made(chance, comma=chance.random() < 0.3, percent=chance.random() < 0.3, separator=separator)
    made.names.append(chance.choice(("SAMPLE_ID", "SampleID", "sample_id")))
    made.columns.append([str(row) for row in range(1, ROWS + 1)])
    made.names.append(chance.choice(("SAMPLE_NAME", "SAMPLE_LOC", "PatchName")))
    name = chance.choice(("dark skin {}" if separator == "\t" else "A{}", '"A {}"', '"p\t{} # <x>"'))
    made.columns.append([name.format(row) for row in range(ROWS)])
    parts: list[Callable[[], None]] = [
        lambda: made.add(["RGB_R", "RGB_G", "RGB_B"], RGB, 1),
        lambda: made.add(["LAB_L", "LAB_A", "LAB_B"], LAB, 2),
        lambda: made.add(["STDEV_L", "DE_2000"], np.full((ROWS, 2), 0.1), 1),
        lambda: bands(made, nm),
    ]
    chance.shuffle(parts)
    for part in parts:
        part()
    if separator == "\t" and chance.random() < 0.3:
        at = chance.randrange(2, len(made.names))
        made.names.insert(at, "")
        made.columns.insert(at, [""] * ROWS)
    end = chance.choice(("", "\t", "\t\t")) if separator == "\t" else ""
    rows = [separator.join(column[row] for column in made.columns) + end for row in range(ROWS)]
    if chance.random() < 0.3:
        rows = [f"{row}\t# noted" if at % 2 else row for at, row in enumerate(rows)]
    if chance.random() < 0.3:
        rows.insert(2, chance.choice(("", "# a comment", "\t")))
    made.head.append(
        chance.choice(
            (
                f'MEASUREMENT_CONDITION "{condition}"',
                f"MEASUREMENT_CONDITION\t{condition}\t\t",
                f'FILTER "{condition}"  # of the instrument',
                f'MEASUREMENT_SOURCE "Illumination=D50\tMeasurementCondition={condition}"',
                f'OWN_SETTINGS "x; Measurement Condition={condition}; y"',
            )
        )
    )
    made.head += chance.choice(([], ['DESCRIPTOR "a # b; c, <d>|"'], ["ORIGINATOR \"open'"]))
    counts = [f"NUMBER_OF_SETS\t{ROWS}"] if chance.random() < 0.7 else []
    before = chance.random() < 0.5
    lines = [chance.choice(("CGATS.17", "ISO28178", "OWN1", "", "# hello")), *made.head]
    lines += counts if before else []
    lines += ["BEGIN_DATA_FORMAT" + chance.choice(("", "\t")), separator.join(made.names) + end]
    lines += ["END_DATA_FORMAT" + chance.choice(("", "\t\t")), "BEGIN_DATA", *rows, "END_DATA"]
    lines += [] if before else counts
    text = chance.choice(("\n", "\r\n", "\r")).join(lines) + "\n"
    return text.encode(chance.choice(("utf-8", "utf-8-sig", "utf-16", "windows-1252")))


@pytest.mark.parametrize("seed", range(120))
def test_the_same_readings_come_out(write: Write, seed: int) -> None:
    chance = Random(seed)
    nm, condition = chance.choice(GRIDS), chance.choice(("M0", "M1", "M2"))
    (run,) = read_readings(write(file_of(chance, nm, condition)))
    assert run.spectra is not None and run.lab is not None and run.device is not None
    np.testing.assert_allclose(run.wavelengths, nm)  # type: ignore[arg-type]
    np.testing.assert_allclose(run.spectra, spectra(nm), atol=1e-5)
    np.testing.assert_allclose(run.lab, LAB, atol=1e-9)
    np.testing.assert_allclose(run.device, RGB / 255, atol=1e-9)
    assert run.stated.condition == condition
    assert [ref.id for ref in run.patches] == [str(row) for row in range(1, ROWS + 1)]
