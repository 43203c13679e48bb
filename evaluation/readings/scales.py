"""Which scale numbers are on: from the header, from what is certain, or by asking; never guessed."""

import re
from typing import Final

import numpy as np

from evaluation.colorimetry.lab import xyz_from_lab
from evaluation.colorimetry.spectra import xyz_from_spectra
from evaluation.published.limits import limit
from evaluation.readings.file_table import FileTable
from evaluation.readings.run import Array
from evaluation.readings.supplied import OpenQuestion, SpectralScale, Supplied

PERCENT: Final = 100.0
THOUSANDTHS: Final = 1_000.0  # the largest scale of spectra
SPECTRAL_SCALES: Final[dict[SpectralScale, float]] = {
    "fraction": 1.0,
    "percent": PERCENT,
    "thousandths": THOUSANDTHS,
}
HIGHEST_FRACTION: Final = limit("fraction_highest")
LOWEST_PERCENT: Final = limit("percent_lowest")
MOST_PERCENT: Final = limit("percent_highest")
_LIGHTNESS_FITS: Final = limit("scale_y_apart")
# No standard names such a keyword; these are plain ones, and that of our own patch lists.
_SCALE_KEYWORDS: Final = (
    "RGB_SCALE",
    "RGB_MAX",
    "RGB_RANGE",
    "DEVICE_SCALE",
    "DEVICE_MAX",
    "SOURCE_ENCODING",
)
_LAST_NUMBER: Final = re.compile(r"(\d+(?:[.,]\d+)?)\D*$")


def device_scale(
    values: Array, space: str, table: FileTable | None, supplied: Supplied
) -> float | OpenQuestion:
    """The value that means full light or full ink in device columns, or the question for it.

    What the user or the header states counts. Else RGB and grey values above 100, up to 255, are on 255, and
    inks above 1, up to 100, on 100; anything else is an open question.

    Parameters
    ----------
    values : (n, channels)
        As in the file.
    space
        "RGB", "GREY", "CMYK", "5CLR" ...
    table
        The table with its header; None for formats without one.
    supplied
        What the user states.
    """
    largest = float(values.max(initial=0.0))
    light = space in ("RGB", "GREY")
    user = supplied.rgb_scale if light else supplied.ink_scale
    stated = _scale_keyword(table) if light and table else None
    if user or stated:
        return user or stated or 1.0
    if largest == 0.0:
        return 1.0
    if light:
        if 100.0 < largest <= 255.5:
            return 255.0
        return OpenQuestion(
            "rgb_scale", f"the scale of the {space} values", ("1", "100", "255", "65535"), _up_to(largest)
        )
    if 1.0 < largest <= 100.5:
        return 100.0
    return OpenQuestion("ink_scale", f"the scale of the {space} values", ("1", "100", "255"), _up_to(largest))


def spectral_scale(
    spectra: Array,
    supplied: Supplied,
    *,
    by_name: bool | None = None,
    table: FileTable | None = None,
    wavelengths: Array | None = None,
    lab: Array | None = None,
) -> float | OpenQuestion:
    """What to divide spectra by: 1 for fractions, 100 for percent, 1,000 for thousandths; or the question.

    Decided by the column names, the user, the header, the lightness given beside the spectra, and last by the
    largest value: up to 1.3 it is fractions, from 2 to 400 percent; else an open question.

    Parameters
    ----------
    spectra : (n, bands)
        As in the file.
    supplied
        What the user states.
    by_name
        Whether the column names say percent; None where they do not say.
    table
        The table with its header; None for formats without one.
    wavelengths : (bands,)
        nm, to compare with `lab`.
    lab : (n, 3)
        CIELAB given beside the spectra.
    """
    if by_name is not None:
        return PERCENT if by_name else 1.0
    if supplied.spectral_scale:
        return SPECTRAL_SCALES[supplied.spectral_scale]
    for value in table.stated("SPECTRAL_NORM") if table else ():
        norm = _number(value)
        if norm is not None and norm in SPECTRAL_SCALES.values():
            return norm
    largest = float(spectra.max(initial=0.0))
    if largest <= HIGHEST_FRACTION:
        return 1.0
    if lab is not None and wavelengths is not None and (scale := _scale_by_lab(wavelengths, spectra, lab)):
        return scale
    # Some bands of fluorescent colours reach 3 as fractions; a set in percent is not so dark all over.
    if LOWEST_PERCENT < largest <= MOST_PERCENT and float(np.percentile(spectra, 90)) > HIGHEST_FRACTION:
        return PERCENT
    question, answers = "spectra as fractions or in percent", ("fraction", "percent")
    if largest > MOST_PERCENT:
        question, answers = "spectra in percent or in thousandths", ("percent", "thousandths")
    return OpenQuestion("spectral_scale", question, answers, _up_to(largest))


def _scale_by_lab(wavelengths: Array, spectra: Array, lab: Array) -> float | None:
    """The scale on which the spectra give the lightness stated beside them, if there is one."""
    given = xyz_from_lab(lab)[:, 1]
    for scale in SPECTRAL_SCALES.values():
        found = xyz_from_spectra(wavelengths, spectra / scale)[:, 1]
        if float(np.median(np.abs(found - given))) <= _LIGHTNESS_FITS * max(1.0, float(np.median(given))):
            return scale
    return None


def xyz_scale(xyz: Array, supplied: Supplied) -> float | OpenQuestion:
    """What to multiply XYZ (n, 3) by so that the perfect diffuser has Y = 100, or the question for it."""
    if supplied.xyz_scale:
        return 100.0 / supplied.xyz_scale
    largest = float(xyz[:, 1].max(initial=0.0))
    if largest > LOWEST_PERCENT or largest == 0.0:
        return 1.0
    return OpenQuestion("xyz_scale", "the Y of the perfect diffuser", ("1", "100"), _up_to(largest))


def _up_to(largest: float) -> str:
    return f"values up to {largest:g}"


def _scale_keyword(table: FileTable) -> float | None:
    for value in table.stated(*_SCALE_KEYWORDS):
        last = _LAST_NUMBER.search(value)
        number = _number(last[1]) if last else None
        if number in (1.0, 100.0, 255.0, 1023.0, 4095.0, 65535.0):
            return number
    return None


def _number(text: str) -> float | None:
    try:
        return float(text.strip().replace(",", "."))
    except ValueError:
        return None
