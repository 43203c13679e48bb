"""The wavelengths of spectra: from names, pairs in the rows, keywords or the user; checked once."""

import re
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.readings.file_table import FileTable
from evaluation.readings.plausible import WAVELENGTH, refuse_beyond
from evaluation.readings.run import Array
from evaluation.readings.source import NOTHING_TAKEN, Source
from evaluation.readings.supplied import OpenQuestion, Supplied

# A colour needs this much of the visible range; beyond it ISO 13655 adds the outer weights to the ends.
FIRST_NM: Final = 400.0
LAST_NM: Final = 680.0
_START: Final = ("SPECTRAL_START_NM", "SPECTRAL_START", "START_NM", "START_WAVELENGTH", "FIRST_WAVELENGTH")
_END: Final = ("SPECTRAL_END_NM", "SPECTRAL_END", "END_NM", "END_WAVELENGTH", "LAST_WAVELENGTH")
_STEP: Final = ("SPECTRAL_STEP_NM", "SPECTRAL_STEP", "SPECTRAL_INCREMENT", "STEP_NM", "WAVELENGTH_STEP")
_WIDEST_STEP: Final = 20.0  # ASTM E308 gives weights for 10 and 20 nm


def labelled_wavelengths(table: FileTable, remarks: list[str]) -> Array:
    """(bands,) nm from the column names, or the exact grid where keywords explain rounded names."""
    labels = np.array(table.columns.wavelengths)
    start, end, bands = _keyword(table, *_START), _keyword(table, *_END), _keyword(table, "SPECTRAL_BANDS")
    if start is not None and end is not None and bands in (None, float(len(labels))):
        grid = np.linspace(start, end, len(labels))
        if np.abs(grid - labels).max() <= 1.0:
            return grid
        remarks.append(
            "SPECTRAL_START_NM and SPECTRAL_END_NM do not fit the names of the bands; the names count"
        )
    steps = np.diff(labels)
    if np.ptp(steps) > 0 and np.ptp(steps) <= 1.0 and (labels == np.round(labels)).all():
        remarks.append(f"wavelengths are rounded to whole nm (steps of {steps.min():g} and {steps.max():g})")
    return labels


def wavelengths_of_header(table: FileTable, supplied: Supplied) -> Array | tuple[OpenQuestion, ...]:
    """(bands,) nm of bands that are only numbered: from keywords, else as supplied, else the questions."""
    count = len(table.columns.bands)
    first, last = _keyword(table, *_START), _keyword(table, *_END)
    bands = _keyword(table, "SPECTRAL_BANDS")
    if first is not None and last is not None and first < last and bands in (None, float(count)):
        return np.linspace(first, last, count)
    step = _keyword(table, *_STEP)
    first, step = (
        (supplied.first_nm if first is None else first),
        (supplied.step_nm if step is None else step),
    )
    questions = tuple(
        OpenQuestion(name, what, ("NM",), f"{count} bands without it")
        for name, value, what in (
            ("first_nm", first, "the wavelength of the first band"),
            ("step_nm", step, "the distance between bands"),
        )
        if value is None
    )
    if first is None or step is None:
        return questions
    return np.asarray(first + step * np.arange(count), np.float64)


def paired_wavelengths(table: FileTable, source: Source) -> Array:
    """(bands,) nm given in the rows. Raises FileProblem when two rows differ."""
    nm = table.pick(table.columns.band_nm)
    refuse_beyond(nm, WAVELENGTH, lambda row, pair: _pair(source, table, row, pair))
    different = np.argwhere(np.abs(nm - nm[0]) > 1e-6)
    if len(different):
        row, pair = different[0]
        raise FileProblem(
            NOTHING_TAKEN,
            where=_pair(source, table, row, pair),
            expected=f"{nm[0, pair]:g} nm, as in the first row",
            found=f"{nm[row, pair]:g} nm",
            remedy="Export the spectra on one grid of wavelengths.",
        )
    return np.array(nm[0])


def _pair(source: Source, table: FileTable, row: int, pair: int) -> str:
    return source.line(int(table.lines[row]), f"SPECTRAL_NM {pair + 1}")


def checked_bands(wavelengths: Array, where: str, has_other_colours: bool, remarks: list[str]) -> bool:
    """Whether spectra on this grid can be used; if not, a remark says so and other colours serve instead.

    Parameters
    ----------
    wavelengths : (bands,)
        nm.
    where
        The place for messages.
    has_other_colours
        Whether CIELAB or XYZ stand beside the spectra.
    remarks
        Remarks are appended to it.

    Raises
    ------
    FileProblem
        When the wavelengths do not rise; when they do not cover 400 to 680 nm in steps of at most 20 nm and
        there are no other colours.
    """
    falls = np.flatnonzero(np.diff(wavelengths) <= 0)
    if len(falls):
        at = int(falls[0])
        raise FileProblem(
            NOTHING_TAKEN,
            where=where,
            expected="wavelengths that rise",
            found=f"{wavelengths[at + 1]:g} nm after {wavelengths[at]:g} nm",
            remedy="Export the spectra in order of wavelength.",
        )
    first, last = float(wavelengths[0]), float(wavelengths[-1])
    widest = float(np.diff(wavelengths).max(initial=0.0))
    if first <= FIRST_NM and last >= LAST_NM and widest <= _WIDEST_STEP + 1e-6:
        return True
    expected = f"spectra from {FIRST_NM:g} to {LAST_NM:g} nm in steps of at most {_WIDEST_STEP:g}"
    found = f"{first:g} to {last:g} nm in steps of up to {widest:g}"
    if has_other_colours:
        remarks.append(f"spectra left out: {found}, {expected.removeprefix('spectra from ')} needed")
        return False
    raise FileProblem(
        NOTHING_TAKEN,
        where=where,
        expected=expected,
        found=found,
        remedy="Export the whole visible range, or CIELAB for D50 and 2 degrees.",
    )


def _keyword(table: FileTable, *names: str) -> float | None:
    """The first number that these keywords state, with or without its unit."""
    for value in table.stated(*names):
        if match := re.fullmatch(r"(\d{1,5}(?:[.,]\d{1,20})?)(?:\s*nm)?", value.strip(), re.I | re.ASCII):
            return float(match[1].replace(",", "."))
    return None
