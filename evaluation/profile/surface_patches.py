"""A gamut's surface from readings of RGB patches: those on the faces of the cube, and between them.

A chart has its patches where its maker put them. Values between them are those of a surface of second order
through the patches nearby on the same face, which a sound print follows to within its noise.
"""

from typing import Final

import numpy as np

from evaluation.profile.cells import Array, Index
from evaluation.profile.gamut import cube_surface
from evaluation.profile.mesh import Mesh
from evaluation.published.limits import whole

NODES: Final = 17  # along an edge: a device step of 1/16, finer than charts are

_FACE: Final = 1e-3  # device values from the face on which a patch counts; files write three digits
_NEAR: Final = whole("face_near")
_FEWEST: Final = whole("face_fewest")
_STIFF: Final = 1e-6  # keeps patches in one row from tilting the surface across it


def on_surface(device: Array) -> Index:
    """Rows of device values (n, 3), 0..1, that lie on a face of the cube."""
    return np.flatnonzero(((device <= _FACE) | (device >= 1 - _FACE)).any(axis=1))


def patch_mesh(device: Array, lab: Array, nodes: int = NODES) -> Mesh | None:
    """The surface that patches (n, 3) of the cube's faces span, from their CIELAB (n, 3).

    None where a face has fewer than twelve of them.
    """
    corners, triangles = cube_surface(nodes)
    total, often = np.zeros_like(corners), np.zeros(len(corners))
    for axis in range(3):
        for end in (0.0, 1.0):
            here = np.flatnonzero(np.abs(device[:, axis] - end) <= _FACE)
            if len(here) < _FEWEST:
                return None
            wanted = np.flatnonzero(corners[:, axis] == end)
            across = [(axis + 1) % 3, (axis + 2) % 3]
            total[wanted] += _between(device[here][:, across], lab[here], corners[wanted][:, across])
            often[wanted] += 1
    return Mesh(total / often[:, None], triangles)


def normals_at(mesh: Mesh, device: Array, nodes: int = NODES) -> Array:
    """(n, 3) outward normals of a mesh of `patch_mesh` at the corner nearest to each device value (n, 3)."""
    corners, _ = cube_surface(nodes)
    place = {tuple(row): k for k, row in enumerate(np.rint(corners * (nodes - 1)).astype(int).tolist())}
    steps = np.rint(device * (nodes - 1)).astype(int)
    return mesh.normals[[place[tuple(row)] for row in steps.tolist()]]


def _between(places: Array, lab: Array, wanted: Array) -> Array:
    """(w, 3) CIELAB at places (w, 2) of a face, from patches at (n, 2), by a surface of second order each."""
    off = wanted[:, None] - places[None]
    square = np.einsum("wni,wni->wn", off, off)
    near = np.argpartition(square, _NEAR - 1, axis=1)[:, :_NEAR]
    u, v = np.moveaxis(-np.take_along_axis(off, near[..., None], axis=1), -1, 0)
    distance = np.take_along_axis(square, near, axis=1)
    width = distance.max(axis=1, keepdims=True) + _STIFF
    weight = np.exp(-4 * distance / width)[..., None]
    terms = np.stack([np.ones_like(u), u, v, u * u, u * v, v * v], axis=-1)
    normal = np.einsum("wnt,wns->wts", terms * weight, terms) + _STIFF * width[..., None] * np.eye(6)
    right = np.einsum("wnt,wnc->wtc", terms * weight, lab[near])
    fitted: Array = np.linalg.solve(normal, right)[:, 0]
    return fitted
