"""Plain tables: the header is known, or the user says what the columns are."""

from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from evaluation.errors import DrydownError
from evaluation.readings.detect import read_readings
from evaluation.readings.run import Run
from evaluation.readings.supplied import OpenQuestions, Supplied

Write = Callable[..., Path]


def one(path: Path, said: Supplied | None = None) -> Run:
    (run,) = read_readings(path, said)
    return run


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize(
    "names",
    [
        ("ID", "Name", "L*", "a*", "b*"),
        ("SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"),
        ("No", "Patch name", "L", "a", "b"),
    ],
)
def test_known_header(write: Write, separator: str, names: tuple[str, ...]) -> None:
    rows = [names, ("1", "A 1", "95.5", "0.25", "-2.5"), ("2", "A 2", "50", "1.5", "2.25")]
    run = one(write("\n".join(separator.join(row) for row in rows), "strip.csv"))
    np.testing.assert_allclose(run.lab, [[95.5, 0.25, -2.5], [50, 1.5, 2.25]])  # type: ignore[arg-type]
    assert [(ref.id, ref.name) for ref in run.patches] == [("1", "A 1"), ("2", "A 2")]
    assert run.reader.startswith("delimited")


def test_rgb_beside_lab_in_single_letters(write: Write) -> None:
    run = one(write("id,R,G,B,L,a,b\n1,255,128,0,60,40,50\n", "strip.csv"))
    np.testing.assert_allclose(run.device, [[1, 128 / 255, 0]])  # type: ignore[arg-type]
    np.testing.assert_allclose(run.lab, [[60, 40, 50]])  # type: ignore[arg-type]


def test_decimal_commas_between_semicolons(write: Write) -> None:
    run = one(write("ID;L*;a*;b*\n1;95,5;0,25;-2,5\n2;50,0;1,5;2,0\n", "strip.csv"))
    np.testing.assert_allclose(run.lab, [[95.5, 0.25, -2.5], [50, 1.5, 2]])  # type: ignore[arg-type]


def test_decimal_commas_in_quotes_between_commas(write: Write) -> None:
    run = one(write('ID,L*,a*,b*\n1,"95,5","0,25","-2,5"\n', "strip.csv"))
    np.testing.assert_allclose(run.lab, [[95.5, 0.25, -2.5]])  # type: ignore[arg-type]


@pytest.mark.parametrize("header", ["{}", "{} nm", "nm{}", "R{}"])
def test_bands_in_the_header(write: Write, header: str) -> None:
    nm = range(380, 731, 10)
    names = ",".join(["Patch", *(header.format(w) for w in nm)])
    run = one(write(f"{names}\nA1,{','.join(str(w / 1000) for w in nm)}\n", "strip.csv"))
    np.testing.assert_allclose(run.wavelengths, nm)  # type: ignore[arg-type]
    np.testing.assert_allclose(run.spectra[0], np.array(nm) / 1000)  # type: ignore[index]
    assert run.patches[0].id == "A1"


def test_lines_before_the_header_say_how_it_was_measured(write: Write) -> None:
    before = "Instrument: none\nIlluminant: D50\nObserver;2 degree\nMeasurement condition = M1\n\n"
    run = one(write(f"{before}ID;L*;a*;b*\n1;50;0;0\n", "strip.csv"))
    stated = run.stated
    assert (stated.instrument, stated.illuminant, stated.observer, stated.condition) == (
        "none",
        "D50",
        "2",
        "M1",
    )


def test_first_line_that_names_the_separator(write: Write) -> None:
    assert len(one(write("sep=;\nID;L*;a*;b*\n1;50;0;0\n", "strip.csv"))) == 1


def test_columns_without_header_are_asked(write: Write) -> None:
    path = write("A1,95.5,0.25,-2.5\nA2,50,1.5,2.25\n", "strip.csv")
    with pytest.raises(OpenQuestions, match="--columns") as caught:
        read_readings(path)
    assert [ask.field for ask in caught.value.questions] == ["columns"]
    run = one(path, Supplied(columns=("ID", "L", "a", "b")))
    np.testing.assert_allclose(run.lab, [[95.5, 0.25, -2.5], [50, 1.5, 2.25]])  # type: ignore[arg-type]


def test_columns_told_pass_over_an_unknown_header_and_unwanted_columns(write: Write) -> None:
    text = "Feld,Helligkeit,x,rot-gruen,gelb-blau\nA1,95.5,?,0.25,-2.5\n"
    run = one(write(text, "strip.csv"), Supplied(columns=("ID", "LAB_L", "", "LAB_A", "LAB_B")))
    np.testing.assert_allclose(run.lab, [[95.5, 0.25, -2.5]])  # type: ignore[arg-type]
    assert any("header" in remark for remark in run.remarks)


def test_blanks_between_cells(write: Write) -> None:
    run = one(write("SAMPLE_ID LAB_L LAB_A LAB_B\n1  50  0   0\n2 60  1   1\n"))
    assert len(run) == 2


@pytest.mark.parametrize("mark", [".", ","])
def test_wavelengths_down_the_first_column(write: Write, mark: str) -> None:
    nm = range(380, 731, 10)
    rows = ["Wavelength (nm);A1;A2", *(f"{w};{w / 1000};{w / 2000}".replace(".", mark) for w in nm)]
    run = one(write("Measurement condition: M2\n" + "\n".join(rows), "strip.csv"))
    np.testing.assert_allclose(run.wavelengths, nm)  # type: ignore[arg-type]
    np.testing.assert_allclose(run.spectra, [np.array(nm) / 1000, np.array(nm) / 2000])  # type: ignore[arg-type]
    assert [ref.id for ref in run.patches] == ["A1", "A2"]
    assert run.stated.condition == "M2"


@pytest.mark.parametrize(
    ("row", "found"),
    [("390;0.5", "Found: 2"), ("390;0.5;x", "A2. Expected: a number. Found: x"), ("390;0,5;0.5", "decimal")],
)
def test_tables_on_their_side_are_refused_by_line(write: Write, row: str, found: str) -> None:
    rows = ["nm;A1;A2", *(f"{w};0.5;0.5" for w in range(400, 701, 10))]
    with pytest.raises(DrydownError, match=found) as caught:
        read_readings(write("\n".join([*rows[:1], row, *rows[1:]]), "strip.csv"))
    assert "line 2" in str(caught.value)


def test_spectra_of_another_library_upright_and_on_their_side() -> None:
    """The 24-patch chart that colour-science keeps for its own tests, in both directions."""
    package = find_spec("colour")  # found, not imported: only its files are wanted
    assert package is not None and package.origin is not None
    folder = Path(package.origin).parent / "io" / "tests" / "resources"
    down = one(folder / "colorchecker_n_ohta.csv")
    across = one(folder / "colorchecker_n_ohta_transposed.csv")
    assert len(down) == len(across) == 24
    np.testing.assert_allclose(down.wavelengths, across.wavelengths)  # type: ignore[arg-type]
    np.testing.assert_allclose(down.spectra, across.spectra)  # type: ignore[arg-type]
