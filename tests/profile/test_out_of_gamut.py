"""The colours of a picture counted, and the share of them that a gamut does not hold."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import pyvips
from numpy.typing import NDArray
from PIL import Image

from evaluation.colorimetry.difference import delta_e_76, delta_e_2000
from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black
from evaluation.errors import FileProblem, ProfileProblem
from evaluation.profile.engine import Profile, open_profile, predicted_lab, reachable_black
from evaluation.profile.gamut import gamut_mesh
from evaluation.profile.hue_families import family, percentile, third
from evaluation.profile.matrix_profile import matrix_profile
from evaluation.profile.mesh import Mesh
from evaluation.profile.out_of_gamut import picture_share
from evaluation.profile.picture_colours import PictureColours, counted, picture_colours
from fixtures.printer import icc

Array = NDArray[np.float64]
ROOM = Path(icc.__file__).parents[1] / "profiles"
RNG = np.random.default_rng(11)


@pytest.fixture(scope="module")
def lustre() -> Profile:
    return open_profile((ROOM / "sallowfell-lustre-finest.icc").read_bytes(), "lustre.icc")


@pytest.fixture(scope="module")
def mesh(lustre: Profile) -> Mesh:
    found = gamut_mesh(lustre)
    assert found is not None
    return found


@pytest.fixture
def picture(tmp_path: Path) -> Callable[..., Path]:
    """A picture file of an array of pixels, with a profile inside or none."""

    def make(pixels: NDArray[np.uint8] | NDArray[np.uint16], profile: bytes | None = None) -> Path:
        space = {1: "b-w", 2: "b-w", 3: "srgb", 4: "srgb"}[pixels.shape[2]]
        if pixels.dtype == np.uint16:
            space = {"b-w": "grey16", "srgb": "rgb16"}[space]
        image = pyvips.Image.new_from_array(pixels).copy(interpretation=space)
        if profile is not None:
            image.set_type(pyvips.GValue.blob_type, "icc-profile-data", profile)
        path = tmp_path / f"picture{len(list(tmp_path.iterdir()))}.tif"
        image.write_to_file(str(path))
        return path

    return make


def flat(*colours: tuple[int, ...], side: int = 40) -> NDArray[np.uint8]:
    """Equal upright bars of some colours."""
    bars = [np.broadcast_to(np.array(c, np.uint8), (side, side, len(c))) for c in colours]
    return np.concatenate(bars, axis=1)


def colours_of(lab: Array) -> PictureColours:
    counts = np.ones(len(lab), np.intp)
    return PictureColours("p", 1, len(lab), lab, counts, 0.0, "none", ())


def test_bars_of_a_picture_are_counted_as_they_are(picture: Callable[..., Path]) -> None:
    found = picture_colours(picture(flat((255, 255, 255), (0, 0, 0), (255, 0, 0), (255, 255, 255))))
    assert found.blocks == 400 and sorted(found.counts) == [100, 100, 200]
    white = found.lab[np.argmax(found.counts)]
    assert delta_e_76(white, [100, 0, 0]) < 0.01
    red = lab_from_xyz(xyz_from_rgb([1.0, 0, 0], "srgb"))
    assert delta_e_76(red, found.lab).min() < 0.01
    assert found.space == "sRGB, assumed" and any("sRGB" in remark for remark in found.remarks)


def test_its_own_profile_says_what_its_numbers_mean(picture: Callable[..., Path]) -> None:
    found = picture_colours(picture(flat((255, 255, 0)), matrix_profile("oprgb")))
    yellow = lab_from_xyz(xyz_from_rgb([1.0, 1, 0], "oprgb"))
    assert delta_e_76(yellow, found.lab[0]) < 0.1 and found.space == "opRGB IEC 61966-2-5"


@pytest.mark.parametrize("wide", [False, True], ids=["8 bit", "16 bit"])
def test_grain_does_not_count(picture: Callable[..., Path], wide: bool) -> None:
    grainy = np.zeros((40, 40, 3), np.uint16 if wide else np.uint8)
    grainy[::2] = 200 * (257 if wide else 1)
    found = picture_colours(picture(grainy))
    assert found.lab.shape == (1, 3)
    assert found.lab[0, 0] == pytest.approx(lab_from_xyz(xyz_from_rgb([100 / 255] * 3, "srgb"))[0], abs=0.8)


def test_a_grey_picture_is_grey(picture: Callable[..., Path]) -> None:
    found = picture_colours(picture(flat((128,), (255,))))
    assert np.abs(found.lab[:, 1:]).max() < 1e-6 and found.lab[:, 0].max() == pytest.approx(100)


def test_transparent_parts_are_white_and_that_is_said(picture: Callable[..., Path]) -> None:
    found = picture_colours(picture(flat((255, 0, 0, 0))))
    assert delta_e_76(found.lab[0], [100, 0, 0]) < 0.01
    assert "Transparent parts are taken as white." in found.remarks


def test_a_picture_smaller_than_a_block_is_read_as_it_is(picture: Callable[..., Path]) -> None:
    assert picture_colours(picture(flat((10, 200, 30), side=3))).blocks == 9


def test_how_far_the_grid_moves_colours_is_told(picture: Callable[..., Path]) -> None:
    """Pixels told apart by all their 16 bits, against the grid's own colours, cell by cell."""
    wide = RNG.integers(0, 65536, (3, 4000, 3), dtype=np.uint16)  # smaller than a block: read as they are
    found = picture_colours(picture(wide))
    exact = lab_from_xyz(xyz_from_rgb(wide.reshape(-1, 3) / 65535, "srgb"))
    cells = lab_from_xyz(xyz_from_rgb((wide.reshape(-1, 3) >> 9) / 127, "srgb"))
    off = float(delta_e_76(exact, cells).mean())
    told = [remark for remark in found.remarks if "steps a channel" in remark]
    assert told == [f"Colours are counted in 128 steps a channel, each {off:.1f} dE*ab off on average."]
    assert 0.3 < off < 0.6


@pytest.mark.parametrize("channels", [1, 3, 4])
def test_cells_and_counts_are_those_of_the_codes(channels: int) -> None:
    codes = RNG.integers(0, 128, (3000, channels), dtype=np.uint8)
    codes[:1000] = codes[0]
    device, counts, steps = counted([codes], channels)
    expected, often = np.unique(codes, axis=0, return_counts=True)
    assert np.allclose(device * 127, expected) and np.array_equal(counts, often) and steps == 128


def test_many_portions_count_like_one() -> None:
    codes = RNG.integers(0, 4, (5000, 4), dtype=np.uint8)
    whole = counted([codes], 4)
    for one, other in zip(whole, counted(np.split(codes, 10), 4), strict=True):
        assert np.array_equal(one, other)


def test_more_cells_than_there_is_room_for_are_told_apart_more_coarsely(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    codes = RNG.integers(0, 128, (5000, 4), dtype=np.uint8)
    monkeypatch.setattr("evaluation.profile.picture_colours.MOST_CELLS", 1000)
    device, counts, steps = counted(np.split(codes, 5), 4)
    expected, often = np.unique(codes >> 5, axis=0, return_counts=True)
    assert np.allclose(device * 3, expected) and np.array_equal(counts, often) and steps == 4


@pytest.mark.long
def test_cells_stand_for_pixels_within_a_thousandth(lustre: Profile, mesh: Mesh) -> None:
    """Uniform colours, the hardest case: every pixel judged by itself against every cell once."""
    codes = RNG.integers(0, 256, (60_000, 3))
    lab = lab_from_xyz(xyz_from_rgb(codes / 255, "srgb"))
    pixels = picture_share(lustre, mesh, colours_of(lab), compensation=True)
    device, counts, _ = counted([(codes >> 1).astype(np.uint8)], 3)
    cells = replace(colours_of(lab_from_xyz(xyz_from_rgb(device, "srgb"))), counts=counts)
    counted_share = picture_share(lustre, mesh, cells, compensation=True)
    assert counted_share.outside == pytest.approx(pixels.outside, abs=0.005)
    assert pixels.lost is not None and counted_share.lost is not None
    assert counted_share.lost.median == pytest.approx(pixels.lost.median, abs=0.05)


def test_a_picture_inside_the_gamut_loses_nothing(lustre: Profile, mesh: Mesh) -> None:
    lab = np.array([[60.0, 10, 5], [70, -5, 5], [50, 0, 0]])
    share = picture_share(lustre, mesh, colours_of(lab), compensation=True)
    assert share.outside == 0 and share.lost is None
    assert share.noise is not None and 0 <= share.noise.median < 1
    assert dict(share.families)["red"] == 0


def test_a_colour_out_of_reach_counts_by_hue_and_lightness(lustre: Profile, mesh: Mesh) -> None:
    green = np.array([[70.0, -110, 60]])
    lab = np.concatenate([np.repeat([[60.0, 5, 5]], 3, axis=0), green])
    share = picture_share(lustre, mesh, colours_of(lab), compensation=False)
    assert share.outside == 0.25
    assert dict(share.families)["green"] == 0.25 and dict(share.thirds)["light"] == 0.25
    assert sum(value for _, value in share.families) == pytest.approx(share.outside)
    returned = predicted_lab(lustre, green, "relative colorimetric", black_compensation=False)
    assert share.lost is not None
    assert share.lost.median == pytest.approx(float(delta_e_2000(green, returned)[0]))


def test_without_compensation_what_is_too_dark_counts_apart(lustre: Profile, mesh: Mesh) -> None:
    lab = np.array([[0.0, 0, 0], [50, 0, 0], [60, 5, 0], [70, -110, 60]])
    off = picture_share(lustre, mesh, colours_of(lab), compensation=False)
    assert (off.too_dark, off.outside) == (0.25, 0.25)
    on = picture_share(lustre, mesh, colours_of(lab), compensation=True)
    assert on.too_dark is None and on.outside == 0.25


def test_black_mapping_keeps_shadows_from_counting() -> None:
    """A picture even in L*: without mapping the share is the depth of the black, 19 % at a density of 1.6:
    L* of Y = 100 * 10 ** -1.6 is 18.8."""
    rag = open_profile((ROOM / "brackmoor-rag-fine.icc").read_bytes(), "rag.icc")
    surface = gamut_mesh(rag)
    assert surface is not None
    greys = np.column_stack([np.linspace(0, 100, 1001), np.zeros((1001, 2))])
    on = picture_share(rag, surface, colours_of(greys), compensation=True)
    off = picture_share(rag, surface, colours_of(greys), compensation=False)
    assert on.outside < 0.005
    assert off.outside < 0.005 and off.too_dark == pytest.approx(0.19, abs=0.01)


def test_perceptual_tells_how_far_it_moves_everything(lustre: Profile, mesh: Mesh) -> None:
    lab = RNG.uniform([20, -30, -30], [90, 30, 30], (501, 3))
    share = picture_share(lustre, mesh, colours_of(lab), compensation=True)
    black = reachable_black(lustre, "relative colorimetric", black_compensation=True)
    aim = lab_from_xyz(map_black(xyz_from_lab(lab), 0.0, xyz_from_lab(black)[1]))
    moved = delta_e_2000(aim, predicted_lab(lustre, aim, "perceptual", black_compensation=True))
    assert share.moved_by == pytest.approx(float(np.median(moved)))


def test_a_file_that_is_no_picture_is_told(tmp_path: Path, picture: Callable[..., Path]) -> None:
    text = tmp_path / "notes.tif"
    text.write_text("a remark")
    cut = picture(flat((9, 9, 9), side=400))
    cut.write_bytes(cut.read_bytes()[:200_000])
    for path in (text, cut, tmp_path / "none.tif"):
        with pytest.raises(FileProblem, match=r"The picture was not used\."):
            picture_colours(path)


def test_a_damaged_profile_inside_a_picture_is_never_replaced(picture: Callable[..., Path]) -> None:
    with pytest.raises(ProfileProblem, match="the file was cut"):
        picture_colours(picture(flat((9, 99, 9)), matrix_profile("oprgb")[:300]))


@pytest.mark.parametrize("kind", ["png", "jpg", "webp"])
def test_nor_where_libvips_drops_it_without_a_word(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"harbour.{kind}"
    Image.new("RGB", (40, 40), (0, 200, 10)).save(path, icc_profile=matrix_profile("oprgb")[:300])
    with pytest.raises(ProfileProblem, match="the file was cut"):
        picture_colours(path)


def test_a_cmyk_picture_without_a_profile_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "inks.tif"
    Image.new("CMYK", (20, 20), (10, 20, 30, 40)).save(path)
    with pytest.raises(FileProblem, match="an embedded profile in a CMYK picture"):
        picture_colours(path)


def test_parts_are_told_by_hue_chroma_and_lightness() -> None:
    lab = np.array([[20.0, 3, 3], [50, 30, 20], [90, -1, 60], [50, 5, -50], [50, 40, -20]])
    assert list(family(lab)) == [0, 1, 2, 5, 6]
    assert list(third(lab)) == [0, 1, 2, 1, 1]


def test_percentiles_follow_their_weights() -> None:
    values, weights = np.array([3.0, 1, 2]), np.array([1.0, 98, 1])
    assert percentile(values, weights, 0.5) == 1 and percentile(values, weights, 0.995) == 3
