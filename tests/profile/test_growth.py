"""Growth along the outward normal, as read and as profiles promise; on the model and on known shapes."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from evaluation.colorimetry.lab import chroma
from evaluation.profile.gamut import cube_surface
from evaluation.profile.growth import SECTORS, Growth, cell_of, measured, surface_of
from evaluation.profile.mesh import Mesh
from evaluation.profile.surface_patches import normals_at, on_surface, patch_mesh
from evaluation.readings.colours import colours
from fixtures.printer.machine import Machine
from fixtures.printer.papers import PAPERS
from fixtures.printer.printing import unmanaged

Array = NDArray[np.float64]
LUSTRE = Machine(PAPERS["Sallowfell Lustre 247"])
STEPS = np.linspace(0, 1, 7)
CUBE = np.stack(np.meshgrid(STEPS, STEPS, STEPS, indexing="ij"), axis=-1).reshape(-1, 3)
ROWS = on_surface(CUBE)
MIDDLE = np.array([50.0, 5.0, -10.0])


def read(machine: Machine, seed: int) -> Array:
    (run,) = unmanaged(machine, CUBE[ROWS], np.random.default_rng(seed))
    return colours(run).lab_d50


def grown(machine: Machine, base: Array) -> Growth:
    surface = surface_of(CUBE[ROWS], base)
    assert surface is not None
    return measured(surface, read(machine, 2), 15.0)


def ball(radius: float, device: Array) -> Array:
    direction = 2 * device - 1
    return np.asarray(
        MIDDLE + radius * direction / np.maximum(np.linalg.norm(direction, axis=1, keepdims=True), 1e-9)
    )


def test_distance_and_normals_are_those_of_a_ball() -> None:
    """Elementary geometry; the mesh is a polyhedron of 17 nodes an edge, 0.3 inside the ball at most."""
    device, triangles = cube_surface(17)
    mesh = Mesh(ball(40.0, device), triangles)
    away = ball(1.0, np.random.default_rng(3).random((60, 3))) - MIDDLE
    for off in (-3.0, 0.5, 9.0):
        assert mesh.outward(MIDDLE + (40 + off) * away) == pytest.approx(off, abs=0.35)
    assert np.isnan(mesh.outward(MIDDLE + 80 * away)).all()
    assert np.einsum("ij,ij->i", mesh.normals, ball(1.0, device) - MIDDLE).min() > 0.99
    turned = Mesh(mesh.corners, mesh.triangles[:, ::-1])
    np.testing.assert_allclose(turned.normals, mesh.normals, atol=1e-12)


def test_patches_span_the_surface_they_were_printed_from() -> None:
    """Between the patches of a 7-step chart the surface of the model is met to 0.15 dE*ab on average."""
    mesh = patch_mesh(CUBE[ROWS], read(LUSTRE, 1))
    assert mesh is not None
    between = np.random.default_rng(5).random((200, 3))
    between[:, 0] = 1.0
    (run,) = unmanaged(LUSTRE, between, np.random.default_rng(6))
    off = mesh.outward(colours(run).lab_d50)
    assert np.abs(off).mean() < 0.15
    assert np.linalg.norm(normals_at(mesh, CUBE[ROWS]), axis=1) == pytest.approx(1.0)
    assert patch_mesh(CUBE[ROWS][CUBE[ROWS][:, 0] < 1], read(LUSTRE, 1)[CUBE[ROWS][:, 0] < 1]) is None


def test_a_finer_setting_reaches_half_a_unit_further_though_its_volume_is_three_percent_larger() -> None:
    """Worked with the printer model: volume +3.0 %, outwards by 0.4 on average and 0.65 in the best cell;
    ink +5 %: +8.5 %, 1.05. Another sheet of the same setting: a tenth at most."""
    base = read(LUSTRE, 1)
    volumes = []
    for machine, mean, best in (
        (replace(LUSTRE, quality=5), 0.39, 0.65),
        (replace(LUSTRE, ink_level=1.05), 1.05, 1.9),
    ):
        found = grown(machine, base)
        assert found.mean == pytest.approx(mean, abs=0.03)
        assert found.cells[found.counts >= 5].max() == pytest.approx(best, abs=0.15)  # others: a patch or two
        meshes = [patch_mesh(CUBE[ROWS], lab) for lab in (base, read(machine, 2))]
        assert meshes[0] is not None and meshes[1] is not None
        volumes.append(meshes[1].volume / meshes[0].volume - 1)
    assert volumes == [pytest.approx(0.030, abs=0.002), pytest.approx(0.085, abs=0.003)]
    again = grown(LUSTRE, base)
    assert abs(again.mean) < 0.02 and np.abs(again.cells[again.counts >= 5]).max() < 0.1
    assert again.counts.sum() == (chroma(base) > 15).sum()


def test_a_colour_falls_into_its_hue_and_third_and_greys_into_none() -> None:
    lab = np.array([[20.0, 30, 20], [50, -20, -15], [80, 0, 90], [50, 5, 5]])
    place = cell_of(lab, 15.0)
    assert [(SECTORS[cell // 3], cell % 3) for cell in place[:3]] == [("red", 0), ("cyan", 1), ("yellow", 2)]
    assert place[3] == -1
