"""The gamut of a profile: the surface of its device space, seen through A2B1.

RGB    the six faces of the cube.
CMYK   the colours of two inks, from no black to full black, black replacing grey as far as it can. The
       darkest part is closed with all four inks up to the total that the profile's tables ask for. This is
       the gamut of a four-ink print except for the last dark shades that three inks under full black add.
grey   has none.
"""

from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Final

import numpy as np

from evaluation.profile.cells import Array, Index
from evaluation.profile.engine import Profile, device_from_lab, lab_from_device
from evaluation.profile.mesh import Mesh
from evaluation.profile.tags import refused
from evaluation.published.limits import limit

NODES: Final = 33  # along an edge of the device space
OUTSIDE: Final = limit("gamut_outside")
FOLDS: Final = limit("gamut_folds")
LEAST: Final = limit("gamut_least")
HUES: Final = tuple(range(0, 360, 30))
SLICES: Final = (30.0, 50.0, 70.0)

_POINTS: Final = 10_000
_SEED: Final = 20
_PAIRS: Final = 2_000_000  # of a drawn point and a triangle; sound profiles come to a quarter of it


@dataclass(frozen=True, slots=True, eq=False)
class Gamut:
    """A profile's surface in media-relative CIELAB, and the share of interior device points outside it."""

    mesh: Mesh
    folded: float

    @property
    def folds(self) -> bool:
        """Whether the device space overlaps itself, so that "inside" and volume hold only in part."""
        return self.folded > FOLDS


def gamut_surface(profile: Profile, nodes: int = NODES) -> tuple[Array, Index] | None:
    """Device values (v, channels), 0..1, on the surface of a gamut, and triangles (t, 3) of their indices.

    `nodes` lie along an edge. None for grey profiles, whose colours enclose nothing.
    """
    match profile.contents.device_space:
        case "RGB":
            return cube_surface(nodes)
        case "CMYK":
            device, triangles = four_ink_surface(nodes)
            return limited(device, ink_total(profile)), triangles
    return None


def gamut_mesh(profile: Profile, nodes: int = NODES) -> Mesh | None:
    """The surface of a profile's gamut in media-relative CIELAB; None where it encloses nothing, as of grey.

    Raises ProfileProblem where the colours of neighbouring device values lie so far apart that they make up
    no surface.
    """
    surface = gamut_surface(profile, nodes)
    if surface is None:
        return None
    mesh = Mesh(lab_from_device(profile, surface[0]), surface[1])
    if mesh.torn:
        raise refused(profile.contents.name, "a table whose colours join up", "one whose colours leap")
    return mesh if mesh.volume >= LEAST else None


def gamut(profile: Profile, nodes: int = NODES) -> Gamut | None:
    """The surface, checked for folds with 10,000 device points from the interior; None for grey profiles."""
    mesh = gamut_mesh(profile, nodes)
    if mesh is None:
        return None
    device = np.random.default_rng(_SEED).random((_POINTS, profile.contents.channels))
    if profile.contents.device_space == "CMYK":
        device = limited(device, ink_total(profile))
    lab = lab_from_device(profile, device)
    lab = lab[:: mesh.thinning(lab, OUTSIDE, _PAIRS)]
    return Gamut(mesh, float(np.mean(~mesh.within(lab, OUTSIDE))))


@cache
def cube_surface(nodes: int) -> tuple[Array, Index]:
    """Points (v, 3) on the surface of the unit cube, triangles (t, 3) of their indices, facing outwards."""
    return _joined([_face(axis, end, nodes) for axis in range(3) for end in (0, 1)])


@cache
def four_ink_surface(nodes: int) -> tuple[Array, Index]:
    """Points (v, 4) and triangles (t, 3) of a closed surface in CMYK, 0..1.

    At the top the three faces of the CMY cube on which one ink is 0, without black; at the bottom the three
    on which one is 1, under full black; between them their common edge, the ring of solids, with black from
    0 to 1.
    """
    pieces = []
    for axis in range(3):
        for end in (0, 1):
            points, triangles = _face(axis, end, nodes)
            pieces.append((np.column_stack([points, np.full(len(points), float(end))]), triangles))
    steps = np.linspace(0, 1, nodes)
    edge = _ring(nodes)
    skirt = np.empty((len(edge), nodes, 4))
    skirt[..., :3], skirt[..., 3] = edge[:, None], steps
    pieces.append((skirt.reshape(-1, 4), _grid_triangles(len(edge), nodes)))
    return _joined(pieces)


def limited(device: Array, total: float) -> Array:
    """CMYK (n, 4) with the three colours reduced in proportion where all four inks exceed `total`, 0..4."""
    room = np.maximum(total - device[:, 3], 0)
    inks = device[:, :3].sum(axis=1)
    share = np.divide(room, inks, out=np.ones_like(inks), where=inks > room)
    return np.column_stack([device[:, :3] * share[:, None], device[:, 3]])


def ink_total(profile: Profile) -> float:
    """The largest sum of inks, 0..4, that the profile's colorimetric table asks for."""
    steps = np.linspace(-100, 100, 9)
    grid = np.meshgrid(np.linspace(0, 60, 7), steps, steps, indexing="ij")
    lab = np.stack([part.ravel() for part in grid], axis=1)
    device = device_from_lab(profile, lab, "relative colorimetric", black_compensation=False)
    return float(device.sum(axis=1).max())


def _face(axis: int, end: int, nodes: int) -> tuple[Array, Index]:
    steps = np.linspace(0, 1, nodes)
    across, down = (part.ravel() for part in np.meshgrid(steps, steps, indexing="ij"))
    points = np.empty((nodes * nodes, 3))
    points[:, axis], points[:, (axis + 1) % 3], points[:, (axis + 2) % 3] = end, across, down
    triangles = _grid_triangles(nodes, nodes)
    return points, triangles if end else triangles[:, ::-1]


def _ring(nodes: int) -> Array:
    """(6 * (nodes - 1) + 1, 3) the closed path of the solids: C, CM, M, MY, Y, YC and C again."""
    corners = np.array([[1, 0, 0], [1, 1, 0], [0, 1, 0], [0, 1, 1], [0, 0, 1], [1, 0, 1], [1, 0, 0]])
    steps = np.linspace(0, 1, nodes)[:-1, None]
    sides = [a + steps * (b - a) for a, b in pairwise(corners)]
    return np.concatenate([*sides, corners[-1:]])


def _grid_triangles(rows: int, columns: int) -> Index:
    """(t, 3) two triangles for each cell of a grid whose nodes are numbered row by row."""
    field = (np.arange(rows - 1)[:, None] * columns + np.arange(columns - 1)).ravel()
    one = np.stack([field, field + columns, field + columns + 1], axis=1)
    two = np.stack([field, field + columns + 1, field + 1], axis=1)
    return np.concatenate([one, two])


def _joined(pieces: list[tuple[Array, Index]]) -> tuple[Array, Index]:
    """Pieces of a surface with their common corners merged."""
    places = np.cumsum([0, *(len(points) for points, _ in pieces)])
    points = np.concatenate([points for points, _ in pieces]).round(9)  # equal corners, equal digits
    triangles = np.concatenate([part + start for start, (_, part) in zip(places, pieces, strict=False)])
    corners, same = np.unique(points, axis=0, return_inverse=True)
    surface = corners, same.ravel()[triangles]
    for part in surface:
        part.flags.writeable = False  # cached and shared
    return surface
