"""The beginning of a map for a test image of one's own."""

from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image

from evaluation.errors import FileProblem
from evaluation.profile.matrix_profile import matrix_profile
from evaluation.sheet.from_image import map_from_image
from evaluation.sheet.layout import ENCODINGS
from evaluation.sheet.load import read_map

PIXELS = np.full((300, 200, 3), 128, dtype=np.uint8)


def saved(folder: Path, name: str = "my test.png", **options: object) -> Path:
    path = folder / name
    Image.fromarray(PIXELS).save(path, **options)
    return path


def test_the_beginning_is_a_map_already(tmp_path: Path) -> None:
    sheet = read_map(map_from_image(saved(tmp_path, dpi=(100, 100))), "begun")
    assert sheet.title == "my test"
    assert sheet.size_mm == pytest.approx((50.8, 76.2), abs=0.1)
    assert [region.kind for region in sheet.regions] == ["picture"]


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_a_profile_of_an_encoding_we_know_is_recognised(tmp_path: Path, encoding: str) -> None:
    path = saved(tmp_path, icc_profile=matrix_profile(encoding))
    assert read_map(map_from_image(path), "begun").encoding == encoding


def test_a_profile_is_recognised_by_its_name(tmp_path: Path) -> None:
    """Little CMS's own sRGB, which is other bytes than ours."""
    from PIL import ImageCms

    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    assert read_map(map_from_image(saved(tmp_path, icc_profile=profile)), "begun").encoding == "srgb"


def test_without_profile_or_resolution_nothing_is_made_up_silently(tmp_path: Path) -> None:
    text = map_from_image(saved(tmp_path))
    assert "no resolution stated: 300 ppi assumed" in text
    assert "no profile embedded" in text
    assert read_map(text, "begun").encoding is None


def test_sixteen_bit_tiff_is_a_picture_too(tmp_path: Path) -> None:
    path = tmp_path / "deep.tif"
    tifffile.imwrite(path, PIXELS.astype(np.uint16) * 257, photometric="rgb", resolution=(300, 300))
    assert read_map(map_from_image(path), "begun").title == "deep"


@pytest.mark.parametrize("name", ['a "b" [c].png', "a#b\\.png", "ü – é.png", "{title}.png"])
def test_any_file_name_stays_a_text(tmp_path: Path, name: str) -> None:
    sheet = read_map(map_from_image(saved(tmp_path, name)), "begun")
    assert sheet.title == Path(name).stem


def test_a_line_break_in_a_file_name_cannot_leave_its_comment(tmp_path: Path) -> None:
    text = map_from_image(saved(tmp_path, "a\nb = 1.png"))
    assert "\nb = 1" not in text
    read_map(text, "begun")


@pytest.mark.parametrize("content", [None, b"", b"words"], ids=["missing", "empty", "text"])
def test_what_is_no_picture_is_named(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "none.png"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(FileProblem, match=r"none\.png"):
        map_from_image(path)
