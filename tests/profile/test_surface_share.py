"""How much of the published surface colours a gamut holds."""

import numpy as np
import pytest

from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.profile.gamut import cube_surface
from evaluation.profile.mesh import Mesh
from evaluation.profile.surface_share import surface_share


@pytest.mark.parametrize(
    ("encoding", "strongest", "inside"),
    [("srgb", 0.503, 0.756), ("oprgb", 0.717, 0.912), ("ecirgb-v2", 0.832, 0.955), ("romm-rgb", 1.0, 1.0)],
)
def test_the_shares_of_the_open_encodings(encoding: str, strongest: float, inside: float) -> None:
    """Worked out apart with colour-science 0.4.7, its RGB spaces and its table of Pointer's gamut taken from
    illuminant C by CAT16; a colour on the border falls to either side, which is worth 0.02."""
    device, triangles = cube_surface(17)
    found = surface_share(Mesh(lab_from_xyz(xyz_from_rgb(device, encoding)), triangles))
    assert found.strongest == pytest.approx(strongest, abs=0.02)
    assert found.all_ == pytest.approx(inside, abs=0.015)


def test_thirds_add_up_and_a_lighter_black_is_mapped_first() -> None:
    device, triangles = cube_surface(17)
    xyz = xyz_from_rgb(device, "srgb")
    full = surface_share(Mesh(lab_from_xyz(xyz), triangles))
    assert [name for name, _ in full.thirds] == ["dark", "middle", "light"]
    assert min(share for _, share in full.thirds) < full.all_ < max(share for _, share in full.thirds)
    lifted = xyz * 0.98 + 2 * np.array([0.9642, 1.0, 0.8252])
    raised = Mesh(lab_from_xyz(lifted), triangles)
    assert surface_share(raised).all_ < surface_share(raised, 2.0).all_ - 0.02
    assert surface_share(raised, 2.0).all_ == pytest.approx(full.all_, abs=0.01)
