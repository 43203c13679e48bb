"""What a file of readings holds, as plain JSON values, before anything is done with it."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np

from evaluation.colorimetry.density import density_from_y, visual_density
from evaluation.errors import FileProblem
from evaluation.plain_text import listed, visible
from evaluation.readings.colours import colours
from evaluation.readings.density_range import density_range_of_device
from evaluation.readings.detect import read_source, without_colours
from evaluation.readings.run import Array, Run
from evaluation.readings.source import Progress, load
from evaluation.readings.supplied import Supplied, is_open

_TO_PRINT: Final = "nothing measured in it, only values to print: a list of patches"
_DENSITIES_ONLY: Final = "densities only: a result needs spectra, CIELAB or XYZ"
_NOTHING_MEASURED: Final = (
    "nothing measured in it that can be read: a list of patches to print, or values left out above"
)


def file_facts(
    path: Path, supplied: Supplied | None = None, progress: Progress | None = None
) -> dict[str, Any]:
    """The document of `drydown contents` for readings.

    Questions that taking the file in would raise stand among the warnings; the values they concern are left
    out. Raises FileProblem when the file cannot be understood.
    """
    source = load(path, progress)
    runs = read_source(source, supplied or Supplied(), progress, asking=False)
    if not any(_holds_something(run) for run in runs):
        raise without_colours(source, runs)
    return {"kind": "readings", **facts_of(runs)}


def facts_of(runs: Sequence[Run]) -> dict[str, Any]:
    """What runs of one file hold, as plain JSON values."""
    parts = [_part(run) for run in runs]
    first = next((part for part in parts if part["paper"]), parts[0])
    with_spectra = next((run for run in runs if run.wavelengths is not None), None)
    warnings = dict.fromkeys(warning for part in parts for warning in part["warnings"])
    spaces = dict.fromkeys(run.device_space for run in runs if run.device_space)
    return {
        "format": listed(list(dict.fromkeys(run.format for run in runs))),
        "patches": _patches(runs),
        "device_space": next(iter(spaces), None),
        "has_spectra": with_spectra is not None,
        "wavelengths": _wavelengths(with_spectra.wavelengths) if with_spectra else None,
        "conditions": list(dict.fromkeys(part["condition"] for part in parts)),
        "paper": first["paper"],
        "darkest": first["darkest"],
        "warnings": list(warnings),
        "runs": parts,
    }


def _patches(runs: Sequence[Run]) -> int:
    """Tables of one sheet under several conditions count once; tables of different sheets add up."""
    sheets = {tuple(ref.id for ref in run.patches) for run in runs}
    return sum(len(ids) for ids in sheets)


def _holds_something(run: Run) -> bool:
    """Whether a run holds colours or values to print, or would once its open questions are answered."""
    colours_of = (run.spectra, run.lab, run.xyz, run.device_space)
    return any(each is not None for each in colours_of) or any(map(is_open, run.remarks))


def _left_open(run: Run) -> bool:
    """Whether values of the run were left out until its open questions are answered."""
    return run.device is None or any(map(is_open, run.remarks))


def _wavelengths(nm: Array | None) -> dict[str, float | None] | None:
    if nm is None:
        return None
    steps = np.diff(nm)
    even = bool(np.ptp(steps) < 1e-3)
    step = round(float(steps.mean()), 3) if even else None
    return {"first": round(float(nm[0]), 3), "last": round(float(nm[-1]), 3), "step": step}


def _part(run: Run) -> dict[str, Any]:
    paper = darkest = black = None
    warnings = [visible(remark) for remark in run.remarks]
    if run.spectra is None and run.lab is None and run.xyz is None:
        nothing = _NOTHING_MEASURED if _left_open(run) else _TO_PRINT
        warnings.append(nothing if run.densities is None else _DENSITIES_ONLY)
    else:
        try:
            paper, darkest = _extremes(run)
            black = _black(run)
        except FileProblem as problem:
            warnings.append(problem.sentence)
    return {
        "part": run.part,
        "patches": len(run),
        "condition": run.stated.condition or "not stated",
        "illuminant": visible(run.stated.illuminant or "not stated"),
        "observer": visible(run.stated.observer or "not stated"),
        "paper": paper,
        "darkest": darkest,
        "black": black,
        "warnings": warnings,
    }


def _extremes(run: Run) -> tuple[dict[str, Any], dict[str, Any]]:
    found = colours(run)
    lightest, darkest = int(found.lab_d50[:, 0].argmax()), int(found.lab_d50[:, 0].argmin())
    if found.basis == "spectra" and run.wavelengths is not None and run.spectra is not None:
        density = float(visual_density(run.wavelengths, run.spectra[darkest]))
        basis = "ISO 5-3 visual, from the spectrum"
    else:
        density = float(density_from_y(found.xyz_d50[darkest, 1]))
        basis = "from Y for D50: right for greys only"
    return {"lab": _rounded(found.lab_d50[lightest])}, {
        "name": visible(run.patches[darkest].name or run.patches[darkest].id),
        "lab": _rounded(found.lab_d50[darkest]),
        "density": round(density, 3) if np.isfinite(density) else None,
        "density_basis": basis,
        "given": _given(run, darkest),
    }


def _given(run: Run, row: int) -> dict[str, Any] | None:
    """The densities that the instrument gave for a row."""
    if run.densities is None:
        return None
    found = {name: run.densities.mean(name, [row]) for name in run.densities.filters}
    read = {name: round(value, 3) for name, value in found.items() if value is not None}
    return {"status": run.densities.status or "not stated", "densities": read} if read else None


def _black(run: Run) -> dict[str, Any] | None:
    """Density of the patch of no light or full ink, and how far it lies above that of the bare paper."""
    found = density_range_of_device(run)
    if found.d_max is None:
        return None
    density, above = found.d_max, found.d_range
    return {
        "density": round(density, 3) if np.isfinite(density) else None,
        "above_paper": round(above, 3) if above is not None and np.isfinite(above) else None,
        "density_basis": found.basis,
    }


def _rounded(lab: Array) -> list[float]:
    return [round(float(value), 2) + 0.0 for value in lab]
