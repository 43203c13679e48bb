"""Outside opinions the colorimetry is checked against."""

from collections.abc import Iterator
from types import ModuleType

import pytest

from evaluation.published import colour_science as library


@pytest.fixture(scope="session")
def colour_science() -> Iterator[ModuleType]:
    """colour-science, as the program itself imports it."""
    with library.colour_science() as colour:
        pass
    yield colour
