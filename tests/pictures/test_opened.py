"""The one door for pictures: known by content, refused before their pixels are unpacked."""

import os
import struct
from collections.abc import Callable
from pathlib import Path

import pytest
import tifffile

from evaluation.errors import FileProblem
from evaluation.pictures import opened
from evaluation.pictures.kinds import in_its_place, kind_of
from evaluation.pictures.opened import MOST_PIXELS, open_picture, reading
from evaluation.pictures.parts import stated_ppi, upright_size
from evaluation.pictures.tiff_layout import tiff_layout
from tests.pictures.made import encoded, jpeg_of, png_of, tiff_of, webp_of

Saved = Callable[..., Path]

WHAT = "Nothing was done."


@pytest.fixture
def saved(tmp_path: Path) -> Saved:
    """A file of this name with these bytes."""

    def save(content: bytes, name: str = "own.jpg") -> Path:
        path = tmp_path / name
        path.write_bytes(content)
        return path

    return save


OTHERS = {
    "an empty file": b"",
    "a HEIC or AVIF picture": b"\0\0\0\x1cftypavif\0\0\0\0",
    "a GIF picture": b"GIF89a\1\0\1\0\0\0\0;",
    "a BMP picture": b"BM" + bytes(60),
    "a DDS picture": b"DDS |\0\0\0",
    "a PDF document": b"%PDF-1.7\n",
    "PostScript": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 100 100\n",
    "a drawing or a page (SVG, HTML, XML)": b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"/>',
    "a JPEG XL picture": b"\xff\x0a\x10",
    "a JPEG 2000 picture": b"\0\0\0\x0cjP  \r\n\x87\n",
    "a compressed file": b"PK\x03\x04",
    "a file of another kind": b"these are words",
}


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WebP"])
@pytest.mark.parametrize("name", ["own.jpg", "own.eps", "own[page=1].tif", "own"])
def test_a_picture_is_known_by_its_content_whatever_its_name(saved: Saved, kind: str, name: str) -> None:
    image = open_picture(saved(encoded(kind), name), WHAT)
    with reading(Path(name), WHAT):
        assert image.numpy().shape == (40, 60, 3)


@pytest.mark.parametrize("what", OTHERS)
def test_what_is_none_of_the_four_never_reaches_a_library(
    saved: Saved, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opened, "vips", lambda: pytest.fail("a library was asked"))
    with pytest.raises(FileProblem) as told:
        open_picture(saved(OTHERS[what]), WHAT)
    assert str(told.value) == (
        f"own.jpg. Expected: a picture (JPEG, PNG, TIFF or WebP). Found: {what}. {WHAT} "
        "Save it again from an image program."
    )


def test_folders_devices_and_missing_files_are_told(tmp_path: Path) -> None:
    for path, found in ((tmp_path, "a folder"), (Path("/dev/null"), "a device"), (tmp_path / "x", "nothing")):
        with pytest.raises(FileProblem, match=found):
            open_picture(path, WHAT)
    os.mkfifo(tmp_path / "pipe.jpg")
    with pytest.raises(FileProblem, match="a device"):
        open_picture(tmp_path / "pipe.jpg", WHAT)  # would wait for a writer


@pytest.mark.parametrize(
    "content",
    [png_of(40_000, 30_000), jpeg_of(40_000, 30_000), tiff_of(40_000, 30_000), webp_of(16_383, 16_383)],
    ids=["PNG", "JPEG", "TIFF", "WebP"],
)
def test_a_small_file_that_says_it_is_huge_is_refused_by_its_head(saved: Saved, content: bytes) -> None:
    """There is nothing behind its head: who unpacked any of it would find it damaged."""
    with pytest.raises(FileProblem, match=r"Found: 40,000 x 30,000|16,383 x 16,383 pixels saved as WebP"):
        open_picture(saved(content), WHAT)


@pytest.mark.parametrize(
    ("content", "saved_as"),
    [
        (jpeg_of(12_000, 9_000, progressive=True), "as progressive JPEG"),
        (webp_of(8_000, 6_000), "as WebP"),
        (tiff_of(12_000, 9_000, t284=2), "in strips or tiles as large as this"),
        (tiff_of(12_000, 9_000, t259=7), "in strips or tiles as large as this"),
        (tiff_of(12_000, 9_000, t322=12_000, t323=9_008), "in strips or tiles as large as this"),
    ],
    ids=["progressive", "WebP", "planes", "one strip of JPEG", "one tile"],
)
def test_what_must_be_held_whole_has_a_lower_limit(saved: Saved, content: bytes, saved_as: str) -> None:
    with pytest.raises(FileProblem, match=f"saved {saved_as}"):
        open_picture(saved(content), WHAT)


@pytest.mark.parametrize("content", [png_of(16_000_000, 60), tiff_of(90_000, 100)], ids=["PNG", "TIFF"])
def test_rows_without_end_are_refused(saved: Saved, content: bytes) -> None:
    """Libraries keep many rows at hand: sixteen million pixels in a row took ten gigabytes."""
    with pytest.raises(FileProblem, match="Expected: rows of at most 83,333 such pixels"):
        open_picture(saved(content), WHAT)


def test_a_hundred_million_pixels_in_lines_are_no_trouble(saved: Saved) -> None:
    for content in (png_of(12_000, 9_000), jpeg_of(12_000, 9_000), tiff_of(12_000, 9_000)):
        assert open_picture(saved(content), WHAT).width == 12_000


def test_a_jpeg_of_endless_passes_is_refused(saved: Saved, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each pass goes over all pixels: a small file could keep a machine busy for hours."""
    content = encoded("JPEG", progressive=True)
    endless = content[:-2] + b"\xff\xda\x00\x08\x01\x01\x00\x00\x3f\x00" * 40 + content[-2:]
    assert open_picture(saved(endless), WHAT).width == 60, "a small picture may have many"
    monkeypatch.setattr(opened, "MOST_HELD", 60 * 40 * 3)
    assert open_picture(saved(content), WHAT).width == 60
    with pytest.raises(FileProblem, match=r"Expected: a JPEG in at most 20 passes. Found: one in 50"):
        open_picture(saved(endless), WHAT)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WebP"])
def test_what_ends_early_is_refused_when_its_pixels_are_read(saved: Saved, kind: str) -> None:
    content = encoded(kind, (300, 200))
    path = saved(content[: len(content) // 2])
    with pytest.raises(
        FileProblem, match=r"Expected: a picture that can be read whole\. Found: a damaged one"
    ):
        image = open_picture(path, WHAT)
        with reading(path, WHAT):
            image.copy_memory()


def test_a_preview_in_place_of_the_picture_is_told(saved: Saved) -> None:
    """Camera makers' raw files are TIFF outside, with a small picture first (TIFF 6.0, NewSubfileType)."""
    with pytest.raises(FileProblem, match="Found: a preview, as in a camera's raw file"):
        open_picture(saved(tiff_of(160, 120, t254=1)), WHAT)


def test_a_file_changed_under_its_name_is_read_anew(saved: Saved) -> None:
    assert open_picture(saved(encoded("PNG")), WHAT).width == 60
    assert open_picture(saved(encoded("PNG", (90, 40))), WHAT).width == 90


@pytest.mark.parametrize("big", [False, True])
@pytest.mark.parametrize("order", ["<", ">"])
def test_the_layout_is_what_the_writer_wrote(tmp_path: Path, big: bool, order: str) -> None:
    """Against tifffile, which writes all four kinds."""
    import numpy as np

    path = tmp_path / "any.tif"
    pixels = np.zeros((300, 500, 3), np.uint16)
    tifffile.imwrite(path, pixels, photometric="rgb", bigtiff=big, byteorder=order, tile=(128, 256))
    layout = tiff_layout(path)
    assert layout is not None and (layout.width, layout.height) == (500, 300)
    assert layout.at_once == 2 * 256 * 128 * 3 * 2, "two tiles across, 16 bits a channel"
    tifffile.imwrite(path, pixels, photometric="rgb", bigtiff=big, byteorder=order, rowsperstrip=50)
    assert tiff_layout(path).at_once == 500 * 3 * 2  # type: ignore[union-attr]
    planes = np.moveaxis(pixels, 2, 0)
    options = {"photometric": "rgb", "planarconfig": "separate", "rowsperstrip": 50}
    tifffile.imwrite(path, planes, bigtiff=big, byteorder=order, **options)
    assert tiff_layout(path).at_once == 50 * 500 * 3 * 2  # type: ignore[union-attr]


@pytest.mark.parametrize("length", [0, 3, 8, 20, 120, 150])
def test_tags_cut_off_are_no_layout(saved: Saved, length: int) -> None:
    assert tiff_layout(saved(tiff_of(60, 40)[:length])) in (None, tiff_layout(saved(tiff_of(60, 40))))
    assert tiff_layout(saved(struct.pack("<2sHQ", b"II", 43, 2**63) + bytes(40))) is None


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF"])
def test_the_resolution_is_that_of_the_file_or_none(saved: Saved, kind: str) -> None:
    path = saved(encoded(kind, dpi=(300, 300)))
    assert stated_ppi(open_picture(path, WHAT), path) == pytest.approx(300, abs=0.1)
    bare = saved(encoded(kind), "bare.jpg")
    assert stated_ppi(open_picture(bare, WHAT), bare) is None


def test_a_picture_on_its_side_is_as_high_as_it_is_wide(saved: Saved) -> None:
    from PIL import Image

    notes = Image.Exif()
    notes[0x0112] = 6
    assert upright_size(open_picture(saved(encoded("JPEG", exif=notes)), WHAT)) == (40, 60)
    assert upright_size(open_picture(saved(encoded("JPEG")), WHAT)) == (60, 40)


def test_the_limits_leave_room_for_what_print_rooms_have() -> None:
    """A stitched scan of 2.5 by 1 m at 360 ppi has 500 million pixels."""
    assert MOST_PIXELS >= 500_000_000
    assert kind_of(b"II*\0") == "TIFF" and in_its_place(b"8BPS\0\1") == "a layered picture"
