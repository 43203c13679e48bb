"""colour-science comes quietly, without its plotting, and leaves the process as it was."""

import subprocess
import sys

import pytest

SCRIPT = """
import sys, warnings
import numpy as np
before, showing = np.get_printoptions(), warnings.showwarning
from evaluation.published.colour_science import colour_science
assert "colour" not in sys.modules, "imported before anybody asked"
with colour_science() as colour:
    light = colour.SDS_ILLUMINANTS["FL2"]
    rendering = colour.colour_rendering_index(light)
    fidelity = colour.colour_fidelity_index(light, method="CIE 2017")  # warns of an aligned observer
print(round(float(rendering), 2), round(float(fidelity), 2))
print(np.get_printoptions() == before, warnings.showwarning is showing, np.geterr()["divide"])
there = {name.split(".")[0] for name in sys.modules}
print(sorted(there & {"matplotlib", "mpl_toolkits", "scipy", "pandas"}))
print("colour.plotting" in sys.modules)
"""


@pytest.mark.long
def test_nothing_reaches_the_terminal_and_nothing_stays_behind() -> None:
    """The two indices are the examples in the documentation of colour-science 0.4.7: 64.2337, 70.1208."""
    ran = subprocess.run(
        [sys.executable, "-W", "error", "-c", SCRIPT], capture_output=True, text=True, check=False
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.splitlines() == ["64.23 70.12", "True True warn", "[]", "False"]
