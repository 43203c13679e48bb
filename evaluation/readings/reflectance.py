"""Whether a table holds reflectance of prints: what it says of itself, and what its numbers look like.

Spectra of lamps, filters and film come in the same formats. Evidence of a print is a word about reflectance,
how it was measured (condition, geometry, backing), what was sent to the printer, or colours beside spectra. A
table that speaks of something else, or has no evidence and looks like something else, is refused as that.
"""

import re
from dataclasses import fields
from typing import Final

import numpy as np

from evaluation.plain_text import counted, quoted
from evaluation.published.limits import limit, whole
from evaluation.readings.file_table import FileTable
from evaluation.readings.run import CONDITIONS, Array, Stated
from evaluation.readings.scales import SPECTRAL_SCALES
from evaluation.readings.source import NOTHING_TAKEN
from evaluation.readings.supplied import Doubtful, OpenQuestion, Supplied

_KINDS: Final = ("QUANTITY", "MEASUREMENT_TYPE", "MEASUREMENT_MODE", "DEVICE_CLASS", "MEASUREMENT_GEOMETRY")
_TITLES: Final = (
    "DESCRIPTOR",
    "FILE_DESCRIPTOR",
    "MATERIAL",
    "TARGET_TYPE",
    "SUBSTRATE",
    "SAMPLE_DESCRIPTION",
)
_LIGHT: Final = re.compile(
    r"emissi(?:on|ve)|(?:ir)?radian(?:ce|t)|luminan(?:ce|t)|\b(?:energy|power|spd|illuminant|lamp)\b", re.I
)
_FILTER: Final = re.compile(r"transmi(?:ttance|ssion|ssive|tted)|absorban(?:ce|t)|optical density", re.I)
_FILM: Final = re.compile(r"\b(?:film|slides?|transparen(?:t|cy|cies)|diapositive|negatives?)\b", re.I)
_TITLES_OF: Final = {  # of spectra with no colours and no device values beside them
    "a light": re.compile(r"spectral (?:power|energy)|power distribution|\bspd\b|(?:ir)?radiance", re.I),
    "a filter": _FILTER,
    "a standard observer": re.compile(r"colou?r[- ]match", re.I),
    "a display": re.compile(r"\b(?:displays?|monitors?|colorimeters?)\b", re.I),
}
_REFLECTS: Final = re.compile(r"reflect|remission", re.I)
_HOW: Final = ("condition", "geometry", "backing")  # what only a print is measured with

# A lamp's file holds a spectrum or a few, scaled to 1 or 100 at its peak or at 560 nm.
_FEW: Final = whole("lamp_spectra")
_SCALED_AT: Final = 560.0
_LINE: Final = limit("lamp_line")
_DARKEST: Final = 10 ** -limit("print_darkest")
_EXACTLY: Final = 1e-9


def refuse_other_kinds(table: FileTable, where: str, supplied: Supplied) -> None:
    """Raise Doubtful where a table says that it is no print: transmittance, emission, a display, film."""
    if _said(supplied):
        return
    reflects = any(_REFLECTS.search(text) for text in _words(table))
    for keyword in table.keywords:
        place = f"{where}, line {keyword.line}, {keyword.name}"
        if keyword.name in _KINDS and (kind := _kind(keyword.value)):
            raise _no_print(place, kind, quoted(keyword.value))
        if keyword.name == "DEVICE_CLASS" and keyword.value.upper() == "DISPLAY":
            raise _no_print(place, "a display", quoted(keyword.value))
        if keyword.name == "IT8.7/1":  # the chart of transparent film (MEMORY)
            raise _no_print(place, "film", "a chart for transparent film")
        if keyword.name in _TITLES and not reflects and _FILM.search(keyword.value):
            raise _no_print(place, "film", quoted(keyword.value))
        if keyword.name in _TITLES and not reflects and _spectra_alone(table):
            for title_of, pattern in _TITLES_OF.items():
                if pattern.search(keyword.value):
                    raise _no_print(place, title_of, quoted(keyword.value))
        if keyword.name == "SPECTRAL_NORM" and not _is_scale(keyword.value):
            raise _no_print(place, "a light", f"spectra scaled to {keyword.value}")
    if not reflects and not table.columns.device:
        for name in _headings(table):
            if kind := _kind(name):
                raise _no_print(where, kind, f"a column {quoted(name)}")


def refuse_other_numbers(
    table: FileTable, where: str, supplied: Supplied, stated: Stated, wavelengths: Array, spectra: Array
) -> None:
    """Raise Doubtful where spectra without evidence of a print look like a lamp's, or like film.

    Parameters
    ----------
    table, where
        The table and its place for messages.
    supplied, stated
        What a person says about it, and what it states.
    wavelengths : (bands,)
        nm.
    spectra : (n, bands)
        As fractions of 1.
    """
    if _said(supplied) or _evidence(table, stated):
        return
    peak = float(spectra.max())
    if len(spectra) <= _FEW and (_is_scaled(wavelengths, spectra) or _has_lines(spectra)):
        raise _no_print(where, "a light", f"{counted(len(spectra), 'spectrum', 'spectra')} like a lamp's")
    darkest = float(spectra.mean(axis=1).min())
    if 0 < darkest < _DARKEST * peak:
        raise _no_print(where, "film", f"a density of {-np.log10(darkest):.1f}")


def _said(supplied: Supplied) -> bool:
    """Whether a person says how it was measured or printed."""
    return supplied.printed_as != "not stated" or any(getattr(supplied, name) for name in _HOW)


def _evidence(table: FileTable, stated: Stated) -> bool:
    columns = table.columns
    beside = columns.device or columns.lab or columns.xyz
    known = any(getattr(stated, each.name) for each in fields(Stated) if each.name in _HOW)
    return bool(beside) or known or any(_REFLECTS.search(text) for text in _words(table))


def _spectra_alone(table: FileTable) -> bool:
    """Whether no column holds what was printed, nor a colour."""
    columns = table.columns
    return not (columns.device or columns.lab or columns.xyz or columns.density)


def _words(table: FileTable) -> list[str]:
    return [*(f"{each.name} {each.value}" for each in table.keywords), *_headings(table)]


def _headings(table: FileTable) -> tuple[str, ...]:
    """The names of the columns; of a table with its wavelengths down the page they are its ids."""
    return (*table.names, *table.ids) if table.band_lines else table.names


def _kind(text: str) -> str:
    """What else than a print a text speaks of, or ""."""
    if _REFLECTS.search(text):
        return ""
    return "a filter" if _FILTER.search(text) else "a light" if _LIGHT.search(text) else ""


def _is_scale(text: str) -> bool:
    try:
        return float(text.replace(",", ".")) in SPECTRAL_SCALES.values()
    except ValueError:
        return True  # no number: it says nothing


def _is_scaled(wavelengths: Array, spectra: Array) -> bool:
    """Whether every spectrum is 1 at its peak, or at 560 nm, as lamps are scaled and no print is."""
    at = np.flatnonzero(np.abs(wavelengths - _SCALED_AT) < _EXACTLY)
    peaks = np.abs(spectra.max(axis=1) - 1.0) < _EXACTLY
    return bool(peaks.all() or (len(at) and (np.abs(spectra[:, at] - 1.0) < _EXACTLY).all()))


def _has_lines(spectra: Array) -> bool:
    """Whether a spectrum rises and falls again within two bands by half of its whole."""
    inner = spectra[:, 1:-1] - np.maximum(spectra[:, :-2], spectra[:, 2:])
    return bool((inner.max(axis=1, initial=0.0) > _LINE * spectra.max(axis=1)).any())


def _no_print(where: str, kind: str, found: str) -> Doubtful:
    what = {
        "a light": "This is a light: `drydown lamp` and --lamp take it.",
        "a filter": "Measure the print in reflectance.",
        "film": "Measure a print, in reflectance.",
        "a display": "Measure the print in reflectance.",
        "a standard observer": "Measure the print in reflectance.",
    }[kind]
    asked = OpenQuestion("condition", "a print after all: measured under", CONDITIONS, f"it seems {kind}")
    return Doubtful(
        NOTHING_TAKEN,
        (asked,),
        where=where,
        expected="reflectance of a print",
        found=f"{found}: it seems {kind}",
        remedy=f"{what} If it is a print's after all, say how it was measured, as --condition M1.",
    )
