"""The profiles we write, read by Little CMS and, tag by tag, by the formulas of ICC.1:2022."""

import io
import struct

import numpy as np
import pytest
from PIL import ImageCms

from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.profile.matrix_profile import NAMES, matrix_profile
from evaluation.sheet.layout import ENCODINGS

every_encoding = pytest.mark.parametrize("encoding", ENCODINGS)
PCS_WHITE = 100 * np.array([0xF6D6, 0x10000, 0xD32D]) / 65536  # ICC.1:2022 7.2.16
COLOURS = np.vstack(
    [
        np.random.default_rng(28178).uniform(size=(400, 3)),
        np.repeat(np.linspace(0, 1, 41)[:, None], 3, axis=1),
        np.eye(3),
        1 - np.eye(3),
    ]
)


def tags(profile: bytes) -> dict[bytes, bytes]:
    """Tag data by name, read straight from the table (ICC.1:2022 7.3)."""
    (count,) = struct.unpack_from(">I", profile, 128)
    rows = (struct.unpack_from(">4sII", profile, 132 + 12 * row) for row in range(count))
    return {name: profile[offset : offset + size] for name, offset, size in rows}


def curve(data: bytes, x: np.ndarray) -> np.ndarray:
    """parametricCurveType, functions 0 and 3 (ICC.1:2022 10.18)."""
    kind, _, function, _ = struct.unpack_from(">4sIHH", data)
    assert kind == b"para"
    values = np.frombuffer(data[12:], ">i4") / 65536
    if function == 0:
        return x ** values[0]
    assert function == 3
    g, a, b, c, d = values
    return np.where(x >= d, (a * x + b) ** g, c * x)


def by_the_formulas(profile: bytes, rgb: np.ndarray) -> np.ndarray:
    """Connection space XYZ to CIELAB, three-component matrix model (ICC.1:2022 annex F)."""
    found = tags(profile)
    columns = [np.frombuffer(found[name][8:20], ">i4") / 65536 for name in (b"rXYZ", b"gXYZ", b"bXYZ")]
    linear = np.column_stack(
        [curve(found[name], rgb[:, n]) for n, name in enumerate((b"rTRC", b"gTRC", b"bTRC"))]
    )
    xyz = linear @ np.array(columns)
    return lab_from_xyz(100 * xyz, white=PCS_WHITE)


def by_little_cms(profile: bytes, rgb: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """CIELAB, and RGB after going back, by Little CMS in floating point."""
    imagecodecs = pytest.importorskip("imagecodecs")
    options = {"outdtype": "float64", "intent": imagecodecs.CMS.INTENT.RELATIVE_COLORIMETRIC}
    space = imagecodecs.cms_profile("xyz")
    xyz = imagecodecs.cms_transform(
        rgb[None].copy(), profile, space, colorspace="rgb", outcolorspace="xyz", **options
    )
    back = imagecodecs.cms_transform(
        xyz.copy(), space, profile, colorspace="xyz", outcolorspace="rgb", **options
    )
    return lab_from_xyz(100 * xyz[0], white=PCS_WHITE), back[0]


@every_encoding
def test_the_formulas_of_the_standard_give_the_encodings_colours(encoding: str) -> None:
    expected = lab_from_xyz(xyz_from_rgb(COLOURS, encoding))
    found = by_the_formulas(matrix_profile(encoding), COLOURS)
    assert np.linalg.norm(found - expected, axis=1).max() < 0.02


@every_encoding
def test_little_cms_gives_the_encodings_colours(encoding: str) -> None:
    expected = lab_from_xyz(xyz_from_rgb(COLOURS, encoding))
    found, _ = by_little_cms(matrix_profile(encoding), COLOURS)
    assert np.linalg.norm(found - expected, axis=1).max() < 0.02


@every_encoding
def test_there_and_back_by_little_cms(encoding: str) -> None:
    _, back = by_little_cms(matrix_profile(encoding), COLOURS)
    before, after = (lab_from_xyz(xyz_from_rgb(rgb, encoding)) for rgb in (COLOURS, back))
    assert np.linalg.norm(after - before, axis=1).max() < 0.02


@every_encoding
def test_white_is_the_white_of_the_connection_space(encoding: str) -> None:
    found = tags(matrix_profile(encoding))
    columns = np.array([np.frombuffer(found[name][8:20], ">i4") for name in (b"rXYZ", b"gXYZ", b"bXYZ")])
    assert columns.sum(axis=0).tolist() == [0xF6D6, 0x10000, 0xD32D]


@every_encoding
def test_the_tags_that_a_matrix_profile_owes_are_there(encoding: str) -> None:
    """ICC.1:2022 8.4.3: nine tags, and chad when the encoding's white is not D50."""
    nine = {b"desc", b"cprt", b"wtpt", b"rXYZ", b"gXYZ", b"bXYZ", b"rTRC", b"gTRC", b"bTRC"}
    adapted = {b"chad"} if encoding in ("srgb", "oprgb") else set()
    assert set(tags(matrix_profile(encoding))) == nine | adapted


@every_encoding
def test_pillow_opens_it_and_finds_its_name(encoding: str) -> None:
    opened = ImageCms.getOpenProfile(io.BytesIO(matrix_profile(encoding)))
    assert ImageCms.getProfileDescription(opened).strip() == NAMES[encoding]
    assert opened.profile.version == pytest.approx(4.4)
    assert ImageCms.isIntentSupported(opened, ImageCms.Intent.RELATIVE_COLORIMETRIC, ImageCms.Direction.INPUT)


def test_srgb_columns_are_the_published_ones() -> None:
    """D50-adapted sRGB as in IEC 61966-2-1 profiles everywhere: red 0.4360 0.2225 0.0139 (from memory)."""
    found = tags(matrix_profile("srgb"))
    red = np.frombuffer(found[b"rXYZ"][8:20], ">i4") / 65536
    np.testing.assert_allclose(red, [0.4360, 0.2225, 0.0139], atol=2e-4)


def test_the_bytes_do_not_depend_on_the_day() -> None:
    assert matrix_profile("srgb") == matrix_profile("srgb")


@every_encoding
def test_sizes_and_places_are_what_the_header_says(encoding: str) -> None:
    profile = matrix_profile(encoding)
    assert struct.unpack_from(">I", profile)[0] == len(profile)
    assert len(profile) % 4 == 0
    (count,) = struct.unpack_from(">I", profile, 128)
    for row in range(count):
        _, offset, size = struct.unpack_from(">4sII", profile, 132 + 12 * row)
        assert offset % 4 == 0 and offset + size <= len(profile)
