"""Two small sound profiles, and ways to damage them."""

from pathlib import Path

import pytest

DATA = Path(__file__).parent / "data"


@pytest.fixture(params=["rgb_output_v2_lab_lut16_g9.icc", "rgb_output_v4_lab_mab_g9.icc"])
def sound(request: pytest.FixtureRequest) -> bytes:
    """A sound RGB output profile, version 2 and version 4 in turn."""
    return (DATA / str(request.param)).read_bytes()
