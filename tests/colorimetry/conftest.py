"""Outside opinions the colorimetry is checked against."""

import warnings
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def colour_science() -> ModuleType:
    """colour-science; it warns about optional packages when it is imported."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour
