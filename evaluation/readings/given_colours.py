"""Colours given more than once, beside spectra or as CIELAB and XYZ: which count, and whether they agree."""

from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_76
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.colorimetry.spectra import xyz_from_spectra
from evaluation.published.limits import limit
from evaluation.readings.run import Array, Stated

_ROWS_COMPARED: Final = 200
_AGREE: Final = limit("given_agree")
_ALL_LIGHT: Final = 100.0 - 1e-3  # L*, as written with two decimals
_NO_PAPER = (
    "the lightest patch has L* 100, which no paper has: colours relative to the paper, or worked out rather "
    "than measured"
)


def given_colour_remarks(
    stated: Stated, wavelengths: Array | None, spectra: Array | None, lab: Array | None, xyz: Array | None
) -> list[str]:
    """Remarks on CIELAB or XYZ that cannot be a print's, or that differ from something better in the file."""
    if spectra is None and (lab is not None or xyz is not None):
        lightest = float((lab if lab is not None else lab_from_xyz(np.asarray(xyz)))[:, 0].max())
        if _ALL_LIGHT <= lightest <= 200 - _ALL_LIGHT:
            return [_NO_PAPER, *_differing(stated, None, None, lab, xyz)]
    return _differing(stated, wavelengths, spectra, lab, xyz)


def _differing(
    stated: Stated, wavelengths: Array | None, spectra: Array | None, lab: Array | None, xyz: Array | None
) -> list[str]:
    if lab is None and (spectra is None or xyz is None):
        return []
    light = f"{stated.illuminant or 'D50'} and {stated.observer or '2'} degrees"
    given = lab if lab is not None else lab_from_xyz(np.asarray(xyz))
    name = "CIELAB" if lab is not None else "XYZ"
    if spectra is not None and wavelengths is not None:
        if stated.illuminant not in (None, "D50") or stated.observer not in (None, "2"):
            return [f"{name} given for {light}: not used; recalculated from the spectra"]
        better = lab_from_xyz(xyz_from_spectra(wavelengths, spectra[:_ROWS_COMPARED]))
        better_one, used = "spectra", "the spectra were"
    elif xyz is not None:
        better = lab_from_xyz(xyz[:_ROWS_COMPARED])
        better_one, used = "XYZ", "the CIELAB was"
    else:
        return []
    off = float(np.median(delta_e_76(given[:_ROWS_COMPARED], better)))
    if off <= _AGREE:
        return []
    return [f"{name} and {better_one} of the file differ by a median of {off:.1f} dE*ab; {used} used"]
