"""colour-science, imported late and without a word on the terminal.

The tables of this folder are derived from it (`make.py`); it knows lights by name, judges a lamp, and gives a
second opinion on our own numbers. It is never on the way of a key: see `tests/benchmarks/bench_colour.py`.
"""

import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from importlib import import_module
from types import ModuleType
from typing import Final

import numpy as np

_PLOTTING: Final = "colour.plotting"


@contextmanager
def colour_science() -> Iterator[ModuleType]:
    """The library, to be used inside the `with`: there its warnings go nowhere."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield _imported()


@cache
def _imported() -> ModuleType:
    """The library without its plotting, which takes half the time of the import and draws nothing here.

    It changes how numpy prints, and where SciPy is not installed it leaves a stand-in that other libraries
    would take for SciPy: both are set right again.
    """
    printing = np.get_printoptions()
    there = set(sys.modules)
    if _PLOTTING not in there:
        sys.modules[_PLOTTING] = ModuleType(_PLOTTING)
    try:
        return import_module("colour")
    finally:
        np.set_printoptions(**printing)
        for name in set(sys.modules) - there:
            if name == _PLOTTING or type(sys.modules[name]).__module__ == "unittest.mock":
                del sys.modules[name]
