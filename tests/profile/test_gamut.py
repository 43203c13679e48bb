"""The surface of a gamut: closed, as large as published, and with the right colours inside."""

import csv
import struct
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from evaluation.colorimetry.adaptation import bradford
from evaluation.colorimetry.lab import D50_WHITE, lab_from_xyz
from evaluation.errors import ProfileProblem
from evaluation.profile.engine import Profile, lab_from_device, open_profile
from evaluation.profile.gamut import (
    OUTSIDE,
    cube_surface,
    four_ink_surface,
    gamut,
    gamut_mesh,
    ink_total,
    limited,
)
from evaluation.profile.matrix_profile import NAMES, matrix_profile
from evaluation.profile.mesh import Mesh
from tests.profile.probes import coded, four_inks_mixed, lut16
from tests.profile.probes import profile as profile_of

Array = NDArray[np.float64]
DATA = Path(__file__).parent / "data"
RNG = np.random.default_rng(7)

# Whites of ASTM E308 (Y = 100), the ones that the published volumes belong to.
WHITES = {
    "D50": (96.422, 100, 82.521),
    "D65": (95.047, 100, 108.883),
    "C": (98.074, 100, 118.232),
    "E": (100, 100, 100),
}


def published() -> list[dict[str, str]]:
    lines = (DATA / "gamut-volumes.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def ball(radius: float = 40.0, nodes: int = 33) -> Mesh:
    points, triangles = cube_surface(nodes)
    direction = 2 * points - 1
    direction /= np.linalg.norm(direction, axis=1)[:, None]
    return Mesh(radius * direction + [50, 5, -10], triangles)


@pytest.mark.parametrize("space", published(), ids=lambda row: row["space"])
def test_the_volume_of_an_rgb_space_is_the_published_one(space: dict[str, str]) -> None:
    """Bruce Lindbloom's table, the eight spaces of a standard; D50 by linear Bradford, within 0.1 %."""
    chromaticities = [(float(space[f"x{c}"]), float(space[f"y{c}"])) for c in "RGB"]
    primaries = np.array([[x / y, 1, (1 - x - y) / y] for x, y in chromaticities])
    white = np.array(WHITES[space["white"]], dtype=np.float64)
    native = np.linalg.solve(primaries.T, white)[:, None] * primaries
    points, triangles = cube_surface(33)
    linear = points**3  # even in lightness; a tone curve moves no colour of the surface
    mesh = Mesh(lab_from_xyz(linear @ bradford(native, white, D50_WHITE)), triangles)
    assert mesh.volume == pytest.approx(float(space["volume_published"]), rel=1e-3)
    assert mesh.volume < float(space["convex_hull_volume"]) / 1.04


@pytest.mark.parametrize("surface", [cube_surface, four_ink_surface])
def test_the_surface_is_closed_and_turned_one_way(surface: object) -> None:
    points, triangles = surface(6)  # type: ignore[operator]
    edges = Counter(
        (int(a), int(b)) for t in triangles for a, b in ((t[0], t[1]), (t[1], t[2]), (t[2], t[0]))
    )
    assert set(edges.values()) == {1} and {(b, a) for a, b in edges} == set(edges)
    assert len(points) - len(edges) // 2 + len(triangles) == 2  # a ball, by Euler


def test_a_ball_is_as_large_as_a_ball() -> None:
    assert ball().volume == pytest.approx(4 / 3 * np.pi * 40**3, rel=0.005)


def test_inside_and_near_are_told_by_distance() -> None:
    mesh, points = ball(), np.array([50, 5, -10]) + RNG.uniform(-60, 60, (20_000, 3))
    radius = np.linalg.norm(points - [50, 5, -10], axis=1)
    clear = np.abs(radius - 40) > 0.1  # the facets of the ball lie up to 0.1 below its surface
    assert np.array_equal(mesh.inside(points)[clear], radius[clear] < 40)
    clear = np.abs(radius - 43) > 0.1
    assert np.array_equal(mesh.within(points, 3.0)[clear], radius[clear] < 43)


def test_points_on_the_grey_axis_are_judged_like_any_other() -> None:
    points, triangles = cube_surface(9)
    mesh = Mesh(np.column_stack([points[:, 0] * 100, points[:, 1:] * 100 - 50]), triangles)
    greys = np.column_stack([np.linspace(-10.5, 110.5, 122), np.zeros((122, 2))])
    assert np.array_equal(mesh.inside(greys), (greys[:, 0] > 0) & (greys[:, 0] < 100))


def test_nothing_is_inside_nowhere() -> None:
    assert not ball().within(np.full((3, 3), np.nan), 1.0).any()
    assert ball().inside(np.empty((0, 3))).shape == (0,)


def test_random_points_find_the_same_volume(sound: bytes) -> None:
    mesh = gamut_mesh(open_profile(sound, "s.icc"))
    assert mesh is not None
    low, high = mesh.corners.min(axis=0), mesh.corners.max(axis=0)
    points = low + RNG.random((60_000, 3)) * (high - low)
    assert mesh.inside(points).mean() * np.prod(high - low) == pytest.approx(mesh.volume, rel=0.03)


def test_the_outline_of_a_ball_is_a_circle() -> None:
    mesh = ball()
    middle = mesh.slice(50.0).mean(axis=(0, 1))
    assert np.abs(middle - [5, -10]).max() < 0.5
    radius = np.linalg.norm(mesh.slice(70.0) - [5, -10], axis=2)
    assert np.abs(radius - np.sqrt(40**2 - 20**2)).max() < 0.15
    hues = np.arange(0, 360, 30)
    direction = np.stack([np.cos(np.radians(hues)), np.sin(np.radians(hues))], axis=1)
    reached = mesh.reach(50.0, hues)[:, None] * direction
    assert np.abs(np.linalg.norm(reached - [5, -10], axis=1) - 40).max() < 0.15
    assert np.isnan(mesh.reach(95.0, hues)).all() and len(mesh.slice(95.0)) == 0


def test_a_sound_profile_does_not_fold(sound: bytes) -> None:
    found = gamut(open_profile(sound, "s.icc"))
    assert found is not None and found.folded < 0.001 and not found.folds


def test_inner_device_colours_lie_inside(sound: bytes) -> None:
    profile = open_profile(sound, "s.icc")
    mesh = gamut_mesh(profile)
    assert mesh is not None
    assert mesh.within(lab_from_device(profile, RNG.random((3000, 3))), 0.3).mean() > 0.999


def test_inks_are_taken_back_to_the_total_and_black_stays() -> None:
    inks = np.array([[1.0, 1, 1, 1], [0.5, 0.2, 0, 0.3], [0, 0, 0, 1]])
    held = limited(inks, 2.8)
    assert np.allclose(held, [[0.6, 0.6, 0.6, 1], [0.5, 0.2, 0, 0.3], [0, 0, 0, 1]])


@pytest.mark.long
def test_four_inks_are_held_by_their_surface() -> None:
    """Random amounts of four inks up to the profile's total lie inside, but for a few of the darkest."""
    profile = open_profile(four_inks_mixed(), "inks.icc")
    assert ink_total(profile) == pytest.approx(2.8, abs=1e-3)
    found = gamut(profile)
    assert found is not None and not found.folds
    lab = lab_from_device(profile, limited(RNG.random((5000, 4)), 2.8))
    outside = ~found.mesh.within(lab, 1.0)
    assert outside.mean() < 0.005 and (lab[outside, 0] < 40).all()


@pytest.mark.long
def test_the_surface_of_four_inks_is_hardly_larger_than_what_they_print() -> None:
    profile = open_profile(four_inks_mixed(), "inks.icc")
    mesh = gamut_mesh(profile)
    assert mesh is not None
    low, high = mesh.corners.min(axis=0), mesh.corners.max(axis=0)
    inks = RNG.random((300_000, 4))
    inks[np.arange(200_000), RNG.integers(0, 3, 200_000)] = 0  # two colours and black: most of the gamut
    cells = ((lab_from_device(profile, limited(inks, 2.8)) - low) // 6).astype(int)
    points = low + RNG.random((100_000, 3)) * (high - low)
    held = points[mesh.inside(points)]
    printed = {tuple(cell) for cell in cells}
    reached = np.mean([tuple(cell) in printed for cell in ((held - low) // 6).astype(int)])
    assert reached > 0.97  # the rest lies in cells that random amounts of ink hardly visit


def test_a_grey_profile_has_no_gamut() -> None:
    curve = b"curv" + struct.pack(">4xI", 0)
    grey = profile_of(
        {b"wtpt": b"XYZ " + struct.pack(">4x3i", 55000, 57000, 46000), b"kTRC": curve}, space=b"GRAY"
    )
    assert gamut(open_profile(grey, "grey.icc")) is None


def test_a_profile_that_turns_back_on_itself_folds() -> None:
    """Lightness that falls and rises again along the grey axis puts inner colours outside the surface."""
    steps = np.linspace(0, 1, 5)
    r, g, b = (part.ravel() for part in np.meshgrid(steps, steps, steps, indexing="ij"))
    middle = (1 - np.abs(2 * r - 1)) * (1 - np.abs(2 * g - 1)) * (1 - np.abs(2 * b - 1))
    lab = np.stack([100 * (r + g + b) / 3, 40 * (r - g) + 85 * middle, 60 * (g - b)], axis=1)
    table = [value for row in lab for value in coded(tuple(row))]
    tags = {b"wtpt": b"XYZ " + struct.pack(">4x3i", 55000, 57000, 46000)}
    for digit in (b"0", b"1"):
        tags[b"A2B" + digit] = lut16(3, 5, table, 3)
        tags[b"B2A" + digit] = lut16(3, 2, [0, 0, 0] * 8, 3)
    found = gamut(open_profile(profile_of(tags, space=b"RGB "), "folded.icc"))
    assert found is not None and found.folds and found.folded > 0.05


def test_a_ray_through_a_tip_and_an_edge_is_counted_once() -> None:
    """Straight above the points stand a tip of four triangles and a seam of two: neither counts as many."""
    corners = np.array([[0.0, -9, -9], [0, 9, -9], [0, 9, 9], [0, -9, 9], [60, 0, 0]])
    sides = [[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]]
    pyramid = Mesh(corners, np.array([*sides, [0, 2, 1], [0, 3, 2]]))
    assert list(pyramid.inside([[-5.0, 0, 0], [30, 0, 0], [65, 0, 0]])) == [False, True, False]
    assert pyramid.volume == pytest.approx(18 * 18 * 60 / 3)


# Damaged tables ----------------------------------------------------------


def inks(towards_colour: list[int], grid: int) -> Profile:
    """A CMYK profile of these values towards colour; towards the device it asks for 0.6 of each ink."""
    tags = {b"wtpt": b"XYZ " + struct.pack(">4x3i", 55000, 57000, 46000)}
    for digit in (b"0", b"1"):
        tags[b"A2B" + digit] = lut16(4, grid, towards_colour, 3)
        tags[b"B2A" + digit] = lut16(3, 2, [39321] * 32, 4)
    return open_profile(profile_of(tags), "odd.icc")


def test_a_table_of_noise_makes_up_no_surface_and_nothing_is_looked_for_in_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """That would take hours."""
    for look in ("inside", "within", "thinning"):
        monkeypatch.setattr(Mesh, look, lambda *_: pytest.fail("something was looked for"))
    noise = np.random.default_rng(3).integers(0, 65536, 9**4 * 3)
    with pytest.raises(
        ProfileProblem, match=r"odd\.icc\. Expected: a table whose colours join up\. Found: one whose"
    ):
        gamut(inks([int(value) for value in noise], 9))


@pytest.mark.parametrize(
    "table",
    [
        [60_000] * 45 + [30_000] * 3,
        [value for n in range(16) for value in (60_000 - n * 4000, 32_768, 32_768)],
    ],
    ids=["two colours", "a row of greys"],
)
def test_a_table_that_encloses_nothing_has_no_gamut(table: list[int]) -> None:
    assert gamut(inks(table, 2)) is None
    assert not Mesh(np.tile([50.0, 0, 0], (3, 1)), np.array([[0, 1, 2]])).inside([[50.0, 0, 0]]).any()


def test_triangles_in_a_heap_are_held_against_fewer_points() -> None:
    """24,000 on one spot: each point there would be held against all of them."""
    heap = np.random.default_rng(3).normal([50, 0, 0], 0.3, (200, 3))
    corners = np.concatenate([heap, [[0, -90, -90], [0, 90, -90], [0, 0, 90], [100, 0, 0]]])
    among = np.random.default_rng(4).integers(0, 200, (24_000, 3))
    sides = np.array([[200, 201, 203], [201, 202, 203], [202, 200, 203], [200, 202, 201]])
    mesh = Mesh(corners, np.concatenate([among, sides]))
    points = np.random.default_rng(5).normal([50, 0, 0], 0.5, (10_000, 3))
    assert not mesh.torn and mesh.thinning(points, 1.0, 2_000_000) > 50
    assert mesh.thinning(points[:10], 1.0, 2_000_000) == 1


@pytest.mark.parametrize("name", NAMES)
def test_no_open_encoding_is_torn_or_thinned(name: str) -> None:
    mesh = gamut_mesh(open_profile(matrix_profile(name), name))
    assert mesh is not None and not mesh.torn
    points = np.random.default_rng(5).uniform([0, -100, -100], [100, 100, 100], (200_000, 3))
    assert mesh.thinning(points, OUTSIDE) == 1


def test_a_wide_distance_takes_no_more_room() -> None:
    mesh = gamut_mesh(open_profile(matrix_profile("srgb"), "srgb"), 9)
    assert mesh is not None
    assert mesh.within([[50.0, 0, 0], [50, 120, 120]], 90.0).tolist() == [True, True]
    assert max(len(cells.members) for cells in mesh._cells.values()) < 100_000
