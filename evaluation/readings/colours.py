"""CIELAB and XYZ of a run for D50 and the 2 degree observer, from spectra where there are any."""

import numpy as np

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.spectra import xyz_from_spectra
from evaluation.errors import FileProblem
from evaluation.readings.run import Colours, Run


def colours(run: Run) -> Colours:
    """Colours of every row of a run: from its spectra, else as given.

    Given CIELAB or XYZ count as for D50 and 2 degrees where that is stated, or nothing is; the run then
    carries a remark.

    Raises
    ------
    FileProblem
        When the run holds no measured colour, or no spectra and colours for another illuminant or observer:
        those cannot be converted, only measured again.
    """
    if run.spectra is not None and run.wavelengths is not None:
        xyz = xyz_from_spectra(run.wavelengths, run.spectra)
        return Colours(lab_from_xyz(xyz), xyz, "spectra")
    illuminant, observer = run.stated.illuminant, run.stated.observer
    if illuminant not in (None, "D50") or observer not in (None, "2"):
        raise FileProblem(
            "Colours for another illuminant or observer cannot be converted; the values were not used.",
            where=run.source_name,
            expected="spectra, or CIELAB or XYZ for D50 and the 2 degree observer",
            found=f"{illuminant or 'illuminant not stated'}, "
            + (f"{observer} degrees" if observer else "observer not stated"),
            remedy="Export the readings with spectra, or for D50 and 2 degrees.",
        )
    if run.lab is not None:
        return Colours(np.asarray(run.lab, np.float64), xyz_from_lab(run.lab), "lab")
    if run.xyz is not None:
        return Colours(lab_from_xyz(run.xyz), np.asarray(run.xyz, np.float64), "xyz")
    raise FileProblem(
        "There is no measured colour to use.",
        where=run.source_name,
        expected="spectra, CIELAB or XYZ",
        found="device values only" if run.device is not None else "none",
        remedy="Measure the patches, then take in that file.",
    )
