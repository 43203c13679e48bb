"""The measured spectrum of a light source from a file: CSV (nm, power), the XML of IES TM-27, or a table.

Such a table has a column a band and one row, as ISO 28178 text or CSV.
"""

import csv
import math
import re
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import numpy as np

from evaluation.colorimetry.illuminants import Light, light_from
from evaluation.colorimetry.weights import FIRST_NEEDED, LAST_NEEDED, WIDEST_STEP
from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.system_words import unread

_LARGEST: Final = 4_000_000  # bytes; a spectrum at 0.1 nm has some 100,000
_LEAST_SEEN: Final = 1e-6  # of the peak, which may lie in the infrared: project's own choice
_NOT_READ: Final = "The light source was not read."
_REMEDY: Final = "Export its spectrum as two columns, wavelength in nm and power."

_BAND: Final = re.compile(r"[a-z_ ]*?(\d{3,4}(?:\.\d+)?)(?: ?nm)?", re.I)
_LEAST_BANDS: Final = 3

Points = list[tuple[float, float]]


def read_lamp(path: Path) -> Light:
    """The light source in a file, named after the file; its peak is 1.

    In CSV, rows of two numbers, wavelength in nm and power, separated by commas, semicolons, tabs or spaces;
    lines above the first such row are a heading. Decimal commas are read where commas do not separate cells.
    In a table with a column a band the names of the columns end in nm, and there is one row.

    Raises
    ------
    FileProblem
        When the file cannot be read, holds no such rows, or its wavelengths do not rise, do not cover 400 to
        680 nm or lie more than 20 nm apart.
    """
    try:
        if path.stat().st_size > _LARGEST:
            raise _refused(
                path, expected="the spectrum of one light source", found="a file of more than 4 MB"
            )
        text = path.read_bytes().decode("utf-8-sig", errors="replace")
    except OSError as problem:
        found, remedy = unread(problem)
        raise FileProblem(_NOT_READ, where=path.name, found=found, remedy=remedy) from problem
    points = (
        _from_xml(text, path)
        if text.lstrip().startswith("<")
        else _from_columns(text, path) or _from_rows(text, path)
    )
    return _checked(points, path)


def _from_columns(text: str, path: Path) -> Points:
    """Of a table with a column a band: a line of names, then one row of as many cells; else []."""
    stripped = ([cell.strip(' "') for cell in _cells(line)] for line in text.splitlines())
    lines = [cells for cells in stripped if cells]
    for place, names in enumerate(lines):
        nm = {at: float(band[1]) for at, name in enumerate(names) if (band := _BAND.fullmatch(name))}
        if len(nm) < _LEAST_BANDS or not all(math.isnan(_number(names[at])) for at in nm):
            continue
        rows = [cells for cells in lines[place + 1 :] if len(cells) == len(names)]
        if len(rows) != 1:
            found = f"{len(rows)} rows of {len(names)} cells"
            raise _refused(path, expected="the spectrum of one light source", found=found)
        return [(wavelength, _number(rows[0][at])) for at, wavelength in nm.items()]
    return []


def _from_rows(text: str, path: Path) -> Points:
    points: Points = []
    for number, line in enumerate(text.splitlines(), start=1):
        cells = _cells(line)
        values = [_number(cell) for cell in cells]
        if len(values) == 2 and all(math.isfinite(value) for value in values):
            points.append((values[0], values[1]))
        elif cells and (points or (len(values) > 2 and all(math.isfinite(value) for value in values))):
            raise _refused(
                path, line=number, expected="wavelength and power", found=shortened(line.strip(), 40)
            )
    return points


def _cells(line: str) -> list[str]:
    """The cells of a row. A comma separates cells only where nothing else does: it may be a decimal mark."""
    for delimiter in ("\t", ";"):
        if delimiter in line:
            break
    else:
        if len(words := [word.strip(",") for word in line.split()]) > 1:
            return words
        delimiter = ","
    return [cell for cell in next(csv.reader([line], delimiter=delimiter), []) if cell.strip()]


def _number(cell: str) -> float:
    try:
        return float(cell.strip().replace(",", "."))
    except ValueError:
        return math.nan


def _from_xml(text: str, path: Path) -> Points:
    # Entities are declared in a document type, and no spectrum needs one.
    if "<!DOCTYPE" in text.upper():
        raise _refused(path, expected="XML without a document type", found="<!DOCTYPE")
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as problem:
        raise _refused(path, expected="XML", found=str(problem)) from problem
    return [
        (_number(element.get("wavelength", "")), _number(element.text or ""))
        for element in root.iter()
        if element.tag.rpartition("}")[2] == "SpectralData"
    ]


def _checked(points: Points, path: Path) -> Light:
    if len(points) < 3:
        raise _refused(path, expected="rows of wavelength and power", found=f"{len(points)} of them")
    wavelengths, power = np.array(points).T
    steps = np.diff(wavelengths)
    if not (np.isfinite(wavelengths).all() and np.isfinite(power).all()):
        raise _refused(path, expected="numbers throughout", found="a value that is not")
    if not (steps > 0).all():
        at = wavelengths[1:][steps <= 0][0]
        raise _refused(path, expected="rising wavelengths", found=f"{at:g} nm after a longer or equal one")
    if wavelengths[0] > FIRST_NEEDED or wavelengths[-1] < LAST_NEEDED:
        raise _refused(
            path,
            expected=f"{FIRST_NEEDED:g} to {LAST_NEEDED:g} nm or beyond",
            found=f"{wavelengths[0]:g} to {wavelengths[-1]:g} nm",
        )
    if steps.max() > WIDEST_STEP:
        raise _refused(
            path, expected=f"steps of at most {WIDEST_STEP:g} nm", found=f"one of {steps.max():g} nm"
        )
    # A spectroradiometer's dark noise goes a little below 0; a tenth of the peak is no noise.
    if power.max() <= 0 or power.min() < -0.1 * power.max():
        raise _refused(path, expected="power above 0", found=f"{power.min():g} to {power.max():g}")
    # One wrong number of many digits leaves the rest of the light at nothing.
    seen = power[(wavelengths >= FIRST_NEEDED) & (wavelengths <= LAST_NEEDED)].max(initial=0.0)
    if seen < _LEAST_SEEN * power.max():
        raise _refused(
            path,
            expected=f"light between {FIRST_NEEDED:g} and {LAST_NEEDED:g} nm",
            found=f"next to none beside that at {wavelengths[power.argmax()]:g} nm",
        )
    # Any scale means the same light, and sums of the largest numbers would overflow.
    return light_from(path.stem, wavelengths, np.maximum(power / power.max(), 0.0))


def _refused(path: Path, *, found: str, expected: str = "", line: int | None = None) -> FileProblem:
    where = path.name if line is None else f"{path.name}, line {line}"
    return FileProblem(_NOT_READ, where=where, expected=expected, found=found, remedy=_REMEDY)
