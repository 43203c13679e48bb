"""Transposed plain tables: wavelengths down the first column, one sample per column."""

import re
from collections.abc import Iterable
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.plain_text import counted, shortened
from evaluation.readings.cgats.bands import LONGEST_NM, SHORTEST_NM
from evaluation.readings.cgats.fields import Columns
from evaluation.readings.cgats.numbers import DecimalMarks, is_number
from evaluation.readings.file_table import FileTable, Keyword
from evaluation.readings.source import MOST_FIELDS, MOST_VALUES, NOTHING_TAKEN, Source

Row = tuple[int, tuple[str, ...]]  # line number and cells

_UNIT: Final = r"(?:nm|[uµμ]m|microns?)"
_CORNER: Final = re.compile(rf"(wave ?lengths?|wl|lambda|λ|{_UNIT})[\s_]*([(\[]?{_UNIT}[)\]]?)?", re.I)
_MICROMETRE: Final = 1_000.0  # nanometres


def is_transposed(names: tuple[str, ...], next_cells: tuple[str, ...]) -> bool:
    """Whether a line of names and the one after it begin a transposed table."""
    if len(names) < 2 or not _CORNER.fullmatch(names[0]) or not next_cells:
        return False
    first = next_cells[0].replace(",", ".")
    return is_number(first) and SHORTEST_NM <= _nanometres(float(first)) <= LONGEST_NM


def _nanometres(value: float) -> float:
    """A wavelength in nm; one far below any is in micrometres, as some tables have them."""
    return value * _MICROMETRE if value <= LONGEST_NM / _MICROMETRE else value


def read_transposed(
    source: Source,
    names: tuple[str, ...],
    at: int,
    rows: Iterable[Row],
    keywords: tuple[Keyword, ...],
    marks: DecimalMarks,
) -> FileTable:
    """The table with a row for each sample.

    Parameters
    ----------
    source, keywords, marks
        The file, the keywords above the table and the decimal marks met so far.
    names, at
        The cells of its first line, and the number of that line.
    rows
        Number and cells of each line below.

    Raises
    ------
    FileProblem
        For the first row of another length or cell that is no number.
    OpenQuestions
        For mixed decimal marks.
    """
    wavelengths: list[float] = []
    bands: list[list[float]] = []
    lines: list[int] = []
    for number, cells in rows:
        if len(cells) != len(names):
            raise FileProblem(
                NOTHING_TAKEN,
                where=source.line(number),
                expected=counted(len(names), "value"),
                found=str(len(cells)),
                remedy="Export the file again.",
            )
        if any("," in cell for cell in cells):
            marks.comma = marks.comma or f"line {number}"
        if any("." in cell for cell in cells):
            marks.point = marks.point or f"line {number}"
        points = [cell.replace(",", ".").replace("−", "-") for cell in cells]
        wrong = next((at for at, cell in enumerate(points) if not _is_finite(cell)), None)
        if wrong is not None:
            raise FileProblem(
                NOTHING_TAKEN,
                where=source.line(number, shortened(names[wrong])),
                expected="a number",
                found=shortened(cells[wrong]) or "an empty cell",
                remedy="Measure that patch again, or leave its column out.",
            )
        wavelengths.append(round(_nanometres(float(points[0])), 6))
        lines.append(number)
        bands.append([float(cell) for cell in points[1:]])
        if len(bands) > MOST_FIELDS or len(bands) * len(names) > MOST_VALUES:
            raise FileProblem(
                NOTHING_TAKEN,
                where=source.line(number),
                expected=f"at most {MOST_FIELDS:,} wavelengths and {MOST_VALUES:,} values",
                found="more",
                remedy="Split the file.",
            )
    marks.decide()
    samples = names[1:]
    return FileTable(
        keywords=keywords,
        names=("SAMPLE_ID", *(f"nm{nm:g}" for nm in wavelengths)),
        columns=Columns(id=0, bands=tuple(range(1, len(bands) + 1)), wavelengths=tuple(wavelengths)),
        ids=samples,
        labels=("",) * len(samples),
        lines=np.full(len(samples), at, dtype=np.int64),
        values=np.array(bands, dtype=np.float64).reshape(len(bands), len(samples)).T,
        decimals=0,
        band_lines=tuple(lines),
        remarks=("transposed table: wavelengths down the first column, one sample per column",),
    )


def _is_finite(cell: str) -> bool:
    return is_number(cell) and bool(np.isfinite(float(cell)))
