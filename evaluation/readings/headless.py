"""Plain tables without a header: what their columns are, from the person, and spectra from two numbers."""

from collections import Counter
from collections.abc import Sequence
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.plain_text import counted, shortened
from evaluation.readings.cgats.fields import classify
from evaluation.readings.cgats.numbers import is_number
from evaluation.readings.source import NOTHING_TAKEN, Source
from evaluation.readings.supplied import OpenQuestion, OpenQuestions, Supplied

_LEAST_BANDS: Final = 16  # 20 nm over the visible range; fewer columns may be anything
# Grids of the trade by their number of bands, to say what to type: first and last nm, and the step.
_GRIDS: Final = {
    36: (380, 730, 10),
    31: (400, 700, 10),
    41: (380, 780, 10),
    43: (360, 780, 10),
    81: (380, 780, 5),
    95: (360, 830, 5),
    16: (400, 700, 20),
}


def names_supplied(
    source: Source, supplied: Supplied, rows: Sequence[tuple[str, ...]], at: int
) -> tuple[str, ...]:
    """The names of the columns: as the person states them, or of bands, by the first one and their distance.

    Parameters
    ----------
    source, supplied
        The file, and what the person states.
    rows, at
        The cells of its first rows, and the line of the first of them.

    Raises
    ------
    OpenQuestions
        Where nothing is stated, with the very options to type.
    UsageProblem
        Where what is stated has no measured colour in it.
    """
    if supplied.columns:
        return _stated(source, supplied)
    bands, ids = _bands(rows)
    if bands and supplied.first_nm is not None and supplied.step_nm is not None:
        nm = (supplied.first_nm + supplied.step_nm * band for band in range(bands))
        return (*("SAMPLE_ID",) * ids, *(f"nm{each:g}" for each in nm))
    raise OpenQuestions(source.line(at), _of_bands(bands, supplied) if bands else (_of_columns(rows[0]),))


def _stated(source: Source, supplied: Supplied) -> tuple[str, ...]:
    names = with_lab_spelled_out(tuple(name.strip() for name in supplied.columns))
    columns = classify(names, source.name)
    if not columns.measured and not columns.device:
        raise UsageProblem(
            NOTHING_TAKEN,
            where=source.name,
            expected="columns with a measured colour, as LAB_L, LAB_A, LAB_B or nm380, nm390, ...",
            found=shortened(", ".join(names)),
            remedy="Correct --columns.",
        )
    return names


def _bands(rows: Sequence[tuple[str, ...]]) -> tuple[int, int]:
    """How many bands rows of numbers have, 0 for no spectra; and how many columns of ids stand before."""
    width = Counter(map(len, rows)).most_common(1)[0][0]
    whole = [row for row in rows if len(row) == width]
    first = [row[0] for row in whole]
    ids = 1 if not all(map(_is_value, first)) or _counts(first) else 0
    numbers = all(_is_value(cell) for row in whole for cell in row[ids:])
    return (width - ids, ids) if numbers and width - ids >= _LEAST_BANDS else (0, 0)


def _is_value(cell: str) -> bool:
    return is_number(cell.replace(",", "."))


def _counts(cells: Sequence[str]) -> bool:
    """Whether cells are the numbers of rows, in turn."""
    if len(cells) < 2 or not all(cell.isdecimal() for cell in cells):
        return False
    return [int(cell) - int(cells[0]) for cell in cells] == list(range(len(cells)))


def _of_bands(bands: int, supplied: Supplied) -> tuple[OpenQuestion, ...]:
    found = f"{counted(bands, 'column')} of numbers"
    if (grid := _GRIDS.get(bands)) is not None:
        first, last, step = grid
        found += f"; for {first} to {last} nm type --first-nm {first} --step-nm {step}"
    return tuple(
        OpenQuestion(name, what, ("NM",), found)
        for name, what in (
            ("first_nm", "the wavelength of the first band"),
            ("step_nm", "the distance between bands"),
        )
        if getattr(supplied, name) is None
    )


def _of_columns(row: tuple[str, ...]) -> OpenQuestion:
    shown = ", ".join(shortened(cell, 12) for cell in row[:6])
    return OpenQuestion(
        "columns",
        "a header such as SAMPLE_ID, LAB_L, LAB_A, LAB_B or nm380",
        ("ID,L,A,B",),
        f"{counted(len(row), 'column')} with “{shown}” in the first row",
    )


def with_lab_spelled_out(names: tuple[str, ...]) -> tuple[str, ...]:
    """With R G B beside L a b, lower-case letters are CIELAB; a comparison without case would lose that."""
    if {"L", "a", "b"} <= set(names):
        lab = {"L": "LAB_L", "a": "LAB_A", "b": "LAB_B"}
        return tuple(lab.get(name, name) for name in names)
    return names
