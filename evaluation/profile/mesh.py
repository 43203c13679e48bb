"""A closed surface of triangles in CIELAB: its volume, what lies inside, and its outline at one lightness.

A gamut has concave parts, so its surface is followed as it is: the convex hull of the RGB encodings is 6 to
23 % larger than the volumes that are published for them.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from evaluation.profile.cells import Array, Cells, Index
from evaluation.published.limits import whole

Mask = NDArray[np.bool_]

# CIELAB units of a cell in the a*b* plane and in space, for few points and for many: small cells take longer
# to fill and leave fewer triangles to compare.
_COLUMN: Final = (8.0, 2.0)
_BOX: Final = (16.0, 4.0)
_MANY: Final = 5_000
_TORN: Final = whole("gamut_torn")
MOST_PAIRS: Final = 20_000_000  # of points and triangles: a picture of two million colours has half of it
_REACHES: Final = (1.0, 4.0, 16.0)  # dE*ab that a surface is looked for around a colour, one after the other
_ASIDE: Final = np.array([1.3e-7, 2.9e-7])  # keeps upright rays off corners that lie on the grey axis


@dataclass(frozen=True, eq=False)
class Mesh:
    """Corners (v, 3) in CIELAB and triangles (t, 3) of their indices, all facing the same way."""

    corners: Array
    triangles: Index

    @property
    def volume(self) -> float:
        """Volume in cubic CIELAB units, of the signed tetrahedra between each triangle and the origin."""
        first, second, third = np.moveaxis(self._faces, 1, 0)
        return float(abs(np.einsum("ij,ij->i", first, _cross(second, third)).sum()) / 6)

    @property
    def torn(self) -> bool:
        """Whether the triangles span so much that they are no surface of a device: corners that belong side
        by side lie far apart, as in a damaged table. To look for what lies inside would take hours.
        """
        return Cells.touched(*self._boxes_of(1.0), _BOX[1]) > _TORN

    def thinning(self, lab: ArrayLike, distance: float, most: int = MOST_PAIRS) -> int:
        """Of (n, 3) every how-many-th can be judged by `within` in bounded time: 1, all, of every sound mesh.

        Where thousands of triangles lie on one spot, each point there is held against all of them; `most`
        pairs of a point and a triangle are worked on.
        """
        points = np.asarray(lab, np.float64)
        work = 0
        for cells, at in (
            (self._boxes(distance, _BOX[len(points) > _MANY]), points),
            (self._columns_for(points), points[:, 1:]),
        ):
            cell = cells.cell_of(at)
            work = max(work, int(cells.count(cell[cell >= 0]).sum()))
        return -(-work // most) or 1

    def inside(self, lab: ArrayLike) -> Mask:
        """(n,) which of the colours (n, 3) lie inside; a surface that folds over itself counts as filled.

        From each point a ray goes up; the triangles it crosses count with the sign of their facing.
        """
        points = np.asarray(lab, np.float64)
        turns = np.zeros(len(points))
        for point, triangle in self._columns_for(points).pairs(points[:, 1:]):
            corner, edges, determinant = (part[triangle] for part in self._upright)
            offset = points[point, 1:] + _ASIDE - corner[:, 1:]
            one = (offset[:, 0] * edges[:, 1, 2] - offset[:, 1] * edges[:, 1, 1]) / determinant
            two = (offset[:, 1] * edges[:, 0, 1] - offset[:, 0] * edges[:, 0, 2]) / determinant
            height = corner[:, 0] + one * edges[:, 0, 0] + two * edges[:, 1, 0]
            above = (one >= 0) & (two >= 0) & (one + two <= 1) & (height > points[point, 0])
            turns += np.bincount(point[above], np.sign(determinant[above]), minlength=len(points))
        mask: Mask = np.rint(turns) != 0
        return mask

    def within(self, lab: ArrayLike, distance: float) -> Mask:
        """(n,) which of the colours (n, 3) lie inside, or outside by no more than `distance` dE*ab.

        A cell of space without a triangle near lies on one side as a whole and is tested once.
        """
        points = np.asarray(lab, np.float64)
        boxes = self._boxes(distance, _BOX[len(points) > _MANY])
        cell = boxes.cell_of(points)
        known = cell >= 0
        crowded = np.zeros(len(points), bool)
        crowded[known] = boxes.count(cell[known]) > 0
        mask = np.zeros(len(points), bool)
        clear, close = np.flatnonzero(known & ~crowded), np.flatnonzero(crowded)
        sides, same = np.unique(cell[clear], return_inverse=True)
        inside = self.inside(np.concatenate([boxes.middle(sides), points[close]]))
        mask[clear], mask[close] = inside[: len(sides)][same.ravel()], inside[len(sides) :]
        beyond = close[~mask[close]]
        corners = self._faces
        normals, offsets = self._planes
        for point, triangle in boxes.pairs(points[beyond]):
            height = np.einsum("ij,ij->i", points[beyond[point]], normals[triangle]) - offsets[triangle]
            low = np.abs(height) <= distance  # the plane is never further than the triangle in it
            point, triangle = beyond[point[low]], triangle[low]
            near = _distance_squared(points[point], corners[triangle]) <= distance**2
            mask[point[near]] = True
        return mask

    def outward(self, lab: ArrayLike) -> Array:
        """(n,) dE*ab from the surface of colours (n, 3) close to it: above 0 outside, below 0 inside.

        Where no triangle lies within the largest distance that is looked for (16 dE*ab), nan.
        """
        points = np.asarray(lab, np.float64)
        nearest = np.full(len(points), np.inf)
        corners = self._faces
        for sure, margin in zip((0.0, *_REACHES), _REACHES, strict=False):
            open_ = np.flatnonzero(nearest > sure**2)
            for point, triangle in self._boxes(margin, _BOX[1]).pairs(points[open_]):
                found = _distance_squared(points[open_[point]], corners[triangle])
                np.minimum.at(nearest, open_[point], found)
        nearest[nearest > _REACHES[-1] ** 2] = np.nan
        outward: Array = np.where(self.inside(points), -1.0, 1.0) * np.sqrt(nearest)
        return outward

    @cached_property
    def normals(self) -> Array:
        """(v, 3) unit normals that point outwards at the corners, triangles weighted by their area."""
        first, second, third = np.moveaxis(self._faces, 1, 0)
        facing = _cross(second - first, third - first)
        facing *= np.sign(np.einsum("ij,ij->i", first - self.corners.mean(axis=0), facing).sum()) or 1.0
        summed = np.zeros_like(self.corners)
        for corner in self.triangles.T:
            np.add.at(summed, corner, facing)
        length = np.linalg.norm(summed, axis=1, keepdims=True)
        normals: Array = np.divide(summed, length, out=np.zeros_like(summed), where=length > 0)
        return normals

    def slice(self, lightness: float) -> Array:
        """(s, 2, 2) the segments in which the surface crosses one L*, two ends of a*, b* each."""
        corners = self._faces
        over = corners[..., 0] >= lightness
        cut = corners[over.any(axis=1) & ~over.all(axis=1)]
        over = cut[..., 0] >= lightness
        alone = np.where(over.sum(axis=1) == 1, np.argmax(over, axis=1), np.argmin(over, axis=1))
        rows = np.arange(len(cut))
        tip = cut[rows, alone]
        ends = []
        for step in (1, 2):
            foot = cut[rows, (alone + step) % 3]
            share = (lightness - tip[:, 0]) / (foot[:, 0] - tip[:, 0])
            ends.append(tip[:, 1:] + share[:, None] * (foot[:, 1:] - tip[:, 1:]))
        return np.stack(ends, axis=1)

    def reach(self, lightness: float, hues: ArrayLike) -> Array:
        """(h,) the largest C*ab at one L* along hue angles (h,), degrees; nan where nothing is reached."""
        angle = np.radians(np.asarray(hues, np.float64))[:, None]
        start, end = np.moveaxis(self.slice(lightness), 1, 0)
        along = [np.cos(angle) * p[:, 0] + np.sin(angle) * p[:, 1] for p in (start, end)]
        aside = [np.cos(angle) * p[:, 1] - np.sin(angle) * p[:, 0] for p in (start, end)]
        crosses = (aside[0] >= 0) != (aside[1] >= 0)
        share = np.divide(aside[0], aside[0] - aside[1], out=np.zeros_like(aside[0]), where=crosses)
        radius = np.where(crosses, along[0] + share * (along[1] - along[0]), -np.inf)
        furthest = radius.max(axis=1, initial=-np.inf)
        return np.where(furthest >= 0, furthest, np.nan)

    @cached_property
    def _upright(self) -> tuple[Array, Array, Array]:
        """Of triangles that a vertical ray can cross: a corner, two edges, and twice the projected area."""
        corners = self._faces
        edges = corners[:, 1:] - corners[:, :1]
        determinant = edges[:, 0, 1] * edges[:, 1, 2] - edges[:, 0, 2] * edges[:, 1, 1]
        seen = determinant != 0
        if seen.all():
            return corners[:, 0], edges, determinant
        return corners[seen, 0], edges[seen], determinant[seen]

    @cached_property
    def _planes(self) -> tuple[Array, Array]:
        """Unit normals (t, 3) of triangles, distances (t,) of their planes from the origin; 0 for lines."""
        corners = self._faces
        normals = _cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        length = np.linalg.norm(normals, axis=1, keepdims=True)
        normals = np.divide(normals, length, out=np.zeros_like(normals), where=length > 0)
        return normals, np.einsum("ij,ij->i", normals, corners[:, 0])

    def _columns_for(self, points: Array) -> Cells:
        """Cells of the a*b* plane, for many points or for few."""
        size = _COLUMN[len(points) > _MANY]
        if ("columns", size) not in self._cells:
            corner, edges, _ = self._upright
            one, two = corner[:, 1:] + edges[:, 0, 1:], corner[:, 1:] + edges[:, 1, 1:]
            self._cells["columns", size] = Cells.of(*_extent(corner[:, 1:], one, two), size)
        return self._cells["columns", size]

    def _boxes(self, margin: float, size: float) -> Cells:
        """Cells of space around the triangles and a margin, never smaller than that takes."""
        size = max(size, 2 * margin)
        if (margin, size) not in self._cells:
            self._cells[margin, size] = Cells.of(*self._boxes_of(margin), size)
        return self._cells[margin, size]

    def _boxes_of(self, margin: float) -> tuple[Array, Array]:
        low, high = self._bounds
        return low - margin, high + margin

    @cached_property
    def _faces(self) -> Array:
        """(t, 3, 3) the three corners of each triangle."""
        return self.corners[self.triangles]

    @cached_property
    def _bounds(self) -> tuple[Array, Array]:
        """(t, 3) the lowest and the highest coordinates of each triangle."""
        return _extent(*np.moveaxis(self._faces, 1, 0))

    @cached_property
    def _cells(self) -> dict[tuple[float | str, float], Cells]:
        """What was worked out once, by margin and size."""
        return {}


def _extent(first: Array, second: Array, third: Array) -> tuple[Array, Array]:
    """The lowest and the highest coordinates (t, d) of triangles given by their three corners."""
    low: Array = np.minimum(np.minimum(first, second), third)
    high: Array = np.maximum(np.maximum(first, second), third)
    return low, high


def _cross(one: Array, other: Array) -> Array:
    """Cross products (n, 3): numpy's own looks at every case there is, and takes three times as long."""
    (x1, y1, z1), (x2, y2, z2) = np.moveaxis(one, -1, 0), np.moveaxis(other, -1, 0)
    return np.stack([y1 * z2 - z1 * y2, z1 * x2 - x1 * z2, x1 * y2 - y1 * x2], axis=-1)


def _distance_squared(points: Array, corners: Array) -> Array:
    """(n,) squared distance of points (n, 3) from triangles (n, 3, 3)."""
    nearest = np.full(len(points), np.inf)
    for k in range(3):
        start, edge = corners[:, k], corners[:, (k + 1) % 3] - corners[:, k]
        length = np.einsum("ij,ij->i", edge, edge)
        share = np.einsum("ij,ij->i", points - start, edge) / np.where(length > 0, length, 1)
        gap = points - start - np.clip(share, 0, 1)[:, None] * edge
        nearest = np.minimum(nearest, np.einsum("ij,ij->i", gap, gap))
    first, one, two = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    normal = _cross(one, two)
    area = np.einsum("ij,ij->i", normal, normal)
    flat = np.where(area > 0, area, 1)
    offset = points - first
    beta = np.einsum("ij,ij->i", _cross(offset, two), normal) / flat
    gamma = np.einsum("ij,ij->i", _cross(one, offset), normal) / flat
    over = (area > 0) & (beta >= 0) & (gamma >= 0) & (beta + gamma <= 1)
    height = np.einsum("ij,ij->i", offset, normal) ** 2 / flat
    return np.where(over, np.minimum(nearest, height), nearest)
