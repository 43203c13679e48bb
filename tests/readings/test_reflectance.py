"""Not every spectrum is a print: lamps, filters, film, displays are told apart; a person may say otherwise.

Lights: CIE illuminants as colour-science has them. Prints without a word in their header: the reflectances of
the chart of 24 patches, from the same library. The files are twins of real ones, made here.
"""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from evaluation.published.colour_science import colour_science
from evaluation.readings.detect import read_readings
from evaluation.readings.supplied import Doubtful, Supplied
from tests.profile.carrying import table

Write = Callable[..., Path]
NM = np.arange(380, 731, 10)
BANDS = " ".join(f"nm{nm}" for nm in NM)


def light(name: str) -> list[float]:
    """A CIE illuminant, 100 at 560 nm, as files have it."""
    with colour_science() as colour:
        spectrum = colour.SDS_ILLUMINANTS[name]
        return [round(float(spectrum[nm]), 4) for nm in NM]


def patches() -> dict[str, list[float]]:
    with colour_science() as colour:
        chart = colour.SDS_COLOURCHECKERS["ISO 17321-1"]
        assert len(chart) == 24
        return {name: [round(float(one[nm]), 4) for nm in NM] for name, one in chart.items()}


def down(heading: str, *columns: list[float]) -> str:
    """Wavelengths down the page."""
    rows = [",".join(map(str, (nm, *values))) for nm, *values in zip(NM, *columns, strict=True)]
    return f"Wavelength,{heading}\n" + "\n".join(rows) + "\n"


def across(*rows: list[float], keywords: str = "") -> str:
    return table(f"SAMPLE_ID {BANDS}", [(n, *row) for n, row in enumerate(rows, 1)], keywords)


GREY = [0.4] * len(NM)
OTHERS: dict[str, tuple[Callable[[], str], str]] = {
    "scaled to a number of its own": (
        lambda: across(GREY, keywords="SPECTRAL_NORM 1923\n"),
        "it seems a light",
    ),
    "daylight, 100 at 560 nm": (lambda: across(light("D65")), "1 spectrum like a lamp's: it seems a light"),
    "a lamp, 1 at its peak": (
        lambda: down("A1", list(np.array(light("A")) / max(light("A")))),
        "seems a light",
    ),
    "fluorescent lines": (lambda: across([value / 200 for value in light("FL11")]), "it seems a light"),
    "a column of energy": (lambda: down("Energy", GREY), "a column “Energy”: it seems a light"),
    "a column of transmittance": (lambda: down("Transmittance", GREY), "“Transmittance”: it seems a filter"),
    "a lamp by its title": (
        lambda: across(GREY, keywords='DESCRIPTOR "Spectral Power"\n'),
        "“Spectral Power”: it seems a light",
    ),
    "matching functions by their title": (
        lambda: across(GREY, keywords='DESCRIPTOR "Color Match Function"\n'),
        "“Color Match Function”: it seems a standard observer",
    ),
    "a display by its title": (
        lambda: across(GREY, keywords='DESCRIPTOR "Colorimeter Calibration"\n'),
        "it seems a display",
    ),
    "film by its title": (
        lambda: across(*patches().values(), keywords='DESCRIPTOR "target on reversal film"\n'),
        "it seems film",
    ),
    "film by its density": (lambda: across([0.9] * 36, [0.0003] * 36), "a density of 3.5: it seems film"),
    "a display": (lambda: across(GREY, keywords="DEVICE_CLASS DISPLAY\n"), "it seems a display"),
}


@pytest.mark.parametrize("kind", OTHERS)
def test_what_is_no_print_is_refused_with_what_it_seems_to_be(write: Write, kind: str) -> None:
    made, told = OTHERS[kind]
    path = write(made(), "spectra.csv")
    with pytest.raises(Doubtful) as caught:
        read_readings(path)
    assert told in str(caught.value) and "as --condition M1" in caught.value.remedy
    assert ("--lamp take" in caught.value.remedy) == ("a light" in told)
    assert [asked.field for asked in caught.value.questions] == ["condition"]
    (run,) = read_readings(path, Supplied(condition="M1"))  # a person's word
    assert run.spectra is not None


@pytest.mark.parametrize(
    "made",
    [
        lambda: across(*patches().values()),
        lambda: down(",".join(name.replace(" ", "_") for name in patches()), *patches().values()),
        lambda: across(patches()["white 9.5 (.05 D)"]),
        lambda: down("Reflectance", list(np.array(light("D50")) / 100)),
        lambda: across(light("D50"), keywords='MEASUREMENT_CONDITION "M1"\n'),
        lambda: across(
            *patches().values(), keywords='MATERIAL "white film"\nQUANTITY "reflectance factor"\n'
        ),
    ],
    ids=[
        "chart",
        "chart down the page",
        "one patch",
        "said to be reflectance",
        "condition",
        "film that reflects",
    ],
)
def test_prints_are_read_whatever_their_header_leaves_out(write: Write, made: Callable[[], str]) -> None:
    (run,) = read_readings(write(made(), "spectra.csv"))
    assert run.spectra is not None and run.wavelengths is not None and len(run.wavelengths) == 36
