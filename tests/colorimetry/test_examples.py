"""The examples in docstrings run, and colour is worked out without a heavy library."""

import doctest
import importlib
import pkgutil
import subprocess
import sys

import pytest

import evaluation.colorimetry

MODULES = [module.name for module in pkgutil.iter_modules(evaluation.colorimetry.__path__)]


@pytest.mark.parametrize("name", MODULES)
def test_examples_give_what_they_say(name):
    module = importlib.import_module(f"evaluation.colorimetry.{name}")
    assert doctest.testmod(module).failed == 0


def test_colour_science_is_not_imported_at_run_time():
    """It takes 0.6 s; a reading must not wait for it."""
    script = (
        "import importlib, sys\n"
        f"for name in {MODULES!r}: importlib.import_module('evaluation.colorimetry.' + name)\n"
        "from evaluation.colorimetry.inconstancy import chart_skin_shift, illuminants\n"
        "chart_skin_shift(illuminants()['A'])\n"
        "heavy = ('colour', 'scipy', 'matplotlib', 'textual', 'rich')\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    found = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
