"""What stands on a page, painted strip by strip."""

import numpy as np
import pytest

from evaluation.sheet.compose import compose
from evaluation.sheet.lettering import lettered
from evaluation.sheet.marks import FULL, Box, Chequer, Drawn, Ink, Lines, Modules, Star
from evaluation.sheet.paint import strips
from evaluation.sheet.sizes import size_mm

BLACK = np.zeros(3, dtype=np.uint16)
SIDE = Box(0, 0, 61, 61)


def whole(mark, rows: int = 10_000) -> np.ndarray:
    return np.concatenate(list(strips(mark.box.width, mark.box.height, [mark], rows)))


def ink() -> Ink:
    coverage, _, _ = lettered("Quay 698", 30.0)
    return Ink(Box(0, 0, coverage.shape[1], coverage.shape[0]), coverage, BLACK)


@pytest.mark.parametrize(
    "mark",
    [
        ink(),
        Lines(SIDE, 3, True, BLACK),
        Lines(SIDE, 3, False, BLACK),
        Chequer(SIDE, BLACK),
        Star(SIDE, 12, BLACK),
        Modules(SIDE, np.eye(61, dtype=bool), BLACK),
        Drawn(SIDE, np.array([[0.0, 0, 0], [60000, 50000, 40000]]), lambda x, y: np.sin(x / 9) * y / 61),
    ],
    ids=lambda mark: type(mark).__name__,
)
@pytest.mark.parametrize("rows", [1, 7])
def test_a_mark_cut_by_strips_is_the_same_mark(mark, rows: int) -> None:
    assert np.array_equal(whole(mark, rows), whole(mark))


def test_a_page_cut_by_other_strips_is_the_same_page() -> None:
    page = compose(size_mm("A4"), 150, "srgb", 1)
    size = (page.width, page.height)
    by_256 = np.concatenate(list(strips(*size, page.leaves[0])))
    by_61 = np.concatenate(list(strips(*size, page.leaves[0], 61)))
    assert np.array_equal(by_256, by_61)
    assert by_256.shape == (page.height, page.width, 3)


def test_later_marks_lie_over_earlier_ones() -> None:
    under, over = Chequer(SIDE, BLACK), Lines(Box(0, 0, 61, 61), 61, True, np.full(3, 999, np.uint16))
    painted = np.concatenate(list(strips(61, 61, [under, over], 16)))
    assert (painted == 999).all()


def test_bare_paper_is_white() -> None:
    assert (np.concatenate(list(strips(9, 9, []))) == FULL).all()


@pytest.mark.parametrize("upright", [True, False])
@pytest.mark.parametrize("thick", [1, 2, 5])
def test_lines_and_gaps_are_as_wide_as_each_other_and_have_no_soft_edge(thick: int, upright: bool) -> None:
    painted = whole(Lines(Box(0, 0, thick * 11, thick * 11), thick, upright, BLACK))
    across = painted[0, :, 0] if upright else painted[:, 0, 0]
    assert set(across.tolist()) == {0, FULL}
    changes = np.flatnonzero(np.diff(across.astype(int)))
    assert (np.diff(changes) == thick).all()


def test_no_pixel_of_the_chequer_has_an_equal_neighbour() -> None:
    painted = whole(Chequer(SIDE, BLACK))[..., 0].astype(int)
    assert (np.diff(painted, axis=0) != 0).all() and (np.diff(painted, axis=1) != 0).all()


def test_the_star_is_half_dark_and_has_its_spokes() -> None:
    painted = whole(Star(Box(0, 0, 401, 401), 36, BLACK))[..., 0] / FULL
    angle = np.linspace(0, 2 * np.pi, 4000, endpoint=False)
    ring = painted[(200.5 + 180 * np.sin(angle)).astype(int), (200.5 + 180 * np.cos(angle)).astype(int)] > 0.5
    assert np.count_nonzero(ring & ~np.roll(ring, 1)) == 36
    assert abs(float(ring.mean()) - 0.5) < 0.02


@pytest.mark.parametrize("pixels", [14.0, 22.0, 60.0])
def test_the_asterisk_of_a_lightness_is_raised(pixels: float) -> None:
    """CIE notation writes L* with a raised asterisk; the face's own stands on the line."""
    letter, _, base = lettered("L", pixels)
    both, _, _ = lettered("L*", pixels)
    asterisk = both[:, letter.shape[1] :].max(axis=1)
    rows = np.flatnonzero(asterisk > 64)
    assert rows[0] <= 0.2 * base
    assert rows[-1] < 0.8 * base
