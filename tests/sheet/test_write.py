"""The files of a sheet, read back by other readers than the writer."""

import io
import struct
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image, ImageCms

from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.errors import Cancelled, DrydownError, FileProblem, UsageProblem
from evaluation.profile.matrix_profile import matrix_profile
from evaluation.sheet.aims import source_lab
from evaluation.sheet.areas import overlaps
from evaluation.sheet.layout import ENCODINGS, Area, Encoding
from evaluation.sheet.load import read_map
from evaluation.sheet.marks import Box
from evaluation.sheet.patch_pages import patch_pages
from evaluation.sheet.request import SheetFiles, SheetRequest
from evaluation.sheet.scenes import shelf
from evaluation.sheet.write import write_sheet
from tests.cases import some_now

# The smallest sheet at the lowest resolution: all there is to check is on it too.
SMALL = SheetRequest(size_mm=(215.9, 279.4), ppi=150, seed=4, scenes=False)
every_encoding = pytest.mark.parametrize(
    "encoding", [pytest.param(one, marks=[pytest.mark.long] * (one != "srgb")) for one in ENCODINGS]
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("sheets")


@pytest.fixture
def written(folder: Path, encoding: Encoding) -> SheetFiles:
    return _written(folder, encoding)


@cache
def _written(folder: Path, encoding: Encoding) -> SheetFiles:
    request = replace(SMALL, encoding=encoding)
    return write_sheet(request, folder / f"{encoding}.tif")


@every_encoding
def test_size_resolution_depth_and_profile_by_tifffile(written: SheetFiles, encoding: Encoding) -> None:
    with tifffile.TiffFile(written.sheet) as tiff:
        page = tiff.pages[0]
        assert page.shape == (1650, 1275, 3)
        assert page.dtype == np.uint16
        assert page.tags["XResolution"].value == (150, 1)
        assert page.tags["ResolutionUnit"].value == 2  # inch
        assert page.tags["RowsPerStrip"].value == 256
        assert page.iccprofile == matrix_profile(encoding)


@every_encoding
def test_size_resolution_and_profile_by_pillow(written: SheetFiles, encoding: Encoding) -> None:
    with Image.open(written.sheet) as image:
        assert image.size == (1275, 1650)
        assert image.info["dpi"] == (150, 150)
        profile = ImageCms.getOpenProfile(io.BytesIO(image.info["icc_profile"]))
    assert "RGB" in ImageCms.getProfileDescription(profile)


def colours(pixels: np.ndarray, profile: bytes, boxes: list[Box]) -> np.ndarray:
    """CIELAB of fields, each of one colour throughout, by Little CMS in floating point through `profile`."""
    imagecodecs = pytest.importorskip("imagecodecs")
    rgb = np.empty((1, len(boxes), 3))
    for column, box in enumerate(boxes):
        field = pixels[box.top + 1 : box.top + box.height - 1, box.left + 1 : box.left + box.width - 1]
        assert np.ptp(field.reshape(-1, 3), axis=0).max() == 0, column
        rgb[0, column] = field[0, 0] / 65535
    xyz = imagecodecs.cms_transform(
        rgb,
        profile,
        imagecodecs.cms_profile("xyz"),
        colorspace="rgb",
        outcolorspace="xyz",
        outdtype="float64",
        intent=imagecodecs.CMS.INTENT.RELATIVE_COLORIMETRIC,
    )
    return lab_from_xyz(100 * xyz[0], white=100 * np.array([0xF6D6, 0x10000, 0xD32D]) / 65536)


@every_encoding
def test_pixels_of_every_field_give_its_colour_through_the_embedded_profile(
    written: SheetFiles, encoding: Encoding
) -> None:
    """On the sheet, an independent reader finds each patch's colour in its place: below 0.1 dE*ab."""
    sheet = read_map(written.map.read_text(encoding="utf-8"), written.map.name)
    with tifffile.TiffFile(written.sheet) as tiff:
        pixels, profile = tiff.asarray(), tiff.pages[0].iccprofile
    placed = [(index, patch.area) for index, patch in enumerate(sheet.patches) if patch.area]
    assert len(placed) == 281
    boxes = [
        Box(round(a.left * 1275), round(a.top * 1650), round(a.width * 1275), round(a.height * 1650))
        for _, a in placed
    ]
    aims = source_lab(sheet)[[index for index, _ in placed]]
    assert np.linalg.norm(colours(pixels, profile, boxes) - aims, axis=1).max() < 0.1


@every_encoding
def test_pixels_of_every_patch_on_the_pages_give_its_colour(written: SheetFiles, encoding: Encoding) -> None:
    sheet = read_map(written.map.read_text(encoding="utf-8"), written.map.name)
    aims = dict(zip((patch.id for patch in sheet.patches), source_lab(sheet), strict=True))
    pages = patch_pages(sheet.patches, SMALL.size_mm, SMALL.margins, SMALL.ppi, encoding, sheet.code, 4)
    assert len(pages) == len(written.pages) == 2
    seen: list[str] = []
    for page, path in zip(pages, written.pages, strict=True):
        with tifffile.TiffFile(path) as tiff:
            pixels, profile = tiff.asarray(), tiff.pages[0].iccprofile
        found = colours(pixels, profile, [field.box for field in page.places])
        expected = np.array([aims[field.patch] for field in page.places])
        assert np.linalg.norm(found - expected, axis=1).max() < 0.1
        seen += [field.patch for field in page.places]
    assert set(seen) == set(aims) and len(seen) > 1.3 * len(aims)


def test_fields_on_the_pages_never_touch(folder: Path) -> None:
    sheet = read_map(_written(folder, "srgb").map.read_text(encoding="utf-8"), "map")
    for page in patch_pages(sheet.patches, SMALL.size_mm, SMALL.margins, 150, "srgb", sheet.code, 4):
        boxes = [field.box for field in page.places]
        apart = 6  # pixels: a millimetre of bare paper
        spread = [
            (str(n), Area(b.left - apart, b.top - apart, b.width + apart, b.height + apart))
            for n, b in enumerate(boxes)
        ]
        assert not list(overlaps(spread))


@every_encoding
def test_the_patch_list_says_the_same_numbers_as_the_map(written: SheetFiles, encoding: Encoding) -> None:
    sheet = read_map(written.map.read_text(encoding="utf-8"), written.map.name)
    lines = written.patches.read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t") for line in lines[lines.index("BEGIN_DATA") + 1 : lines.index("END_DATA")]]
    assert [row[0] for row in rows][: len(sheet.patches)] == [patch.id for patch in sheet.patches]
    values = np.array([[float(cell) for cell in row[2:5]] for row in rows]) / 255
    np.testing.assert_allclose(values, [sheet.patch(row[0]).source for row in rows], atol=1e-9)


def test_the_patch_list_does_not_pose_as_device_values(folder: Path) -> None:
    text = _written(folder, "srgb").patches.read_text(encoding="utf-8")
    assert text.startswith("ISO28178\n")
    assert "SRGB_R\tSRGB_G\tSRGB_B" in text
    assert "RGB_R RGB_G" not in text and "\tRGB_R" not in text
    assert "print as a picture, through the profile" in text
    assert f'SHEET_CODE "{_written(folder, "srgb").code}"' in text


def test_every_own_keyword_of_the_patch_list_is_declared(folder: Path) -> None:
    """CGATS.17: a keyword that the standard does not know is announced with KEYWORD before its use."""
    text = _written(folder, "srgb").patches.read_text(encoding="utf-8")
    for own in ("SHEET_CODE", "SOURCE_ENCODING", "PRINT_AS", "SRGB_R", "SRGB_G", "SRGB_B", "STRIP_PLACE"):
        assert text.index(f'KEYWORD "{own}"') < text.index(own, text.index(f'KEYWORD "{own}"') + 12)


def test_every_patch_has_a_place_on_the_pages(folder: Path) -> None:
    lines = _written(folder, "srgb").patches.read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t") for line in lines[lines.index("BEGIN_DATA") + 1 : lines.index("END_DATA")]]
    places = [row[5] for row in rows]
    assert len(set(places)) == len(places) > 413
    assert places[0] == "1A01"
    assert places[:413] == sorted(places[:413])
    assert len({row[0] for row in rows}) == 413  # what comes after them is fields of the same patches again


def test_the_ramps_of_the_picture_only_rise_or_fall(folder: Path) -> None:
    """The continuous grey ramp, read across at its middle row, and every gradient's lightness or chroma."""
    written = _written(folder, "srgb")
    sheet = read_map(written.map.read_text(encoding="utf-8"), "map")
    pixels = tifffile.imread(written.sheet)
    area = sheet.region("neutral").area
    assert area is not None
    row = pixels[round((area.top + area.height * 0.93) * 1650)].astype(int)
    ramp = row[round(area.left * 1275) : round((area.left + area.width) * 1275)]
    assert (np.ptp(ramp, axis=1) == 0).all()
    assert (np.diff(ramp[:, 0]) > 0).all()
    assert ramp[0, 0] == 0 and ramp[-1, 0] == 65535


@pytest.mark.long
def test_the_same_request_gives_the_same_files(folder: Path, tmp_path: Path) -> None:
    again = write_sheet(SMALL, tmp_path / "srgb.tif")
    first = _written(folder, "srgb")
    assert again.code == first.code
    for one, other in ((first.map, again.map), (first.patches, again.patches), (first.form, again.form)):
        assert one is not None and other is not None
        assert one.read_bytes() == other.read_bytes()
    assert tifffile.imread(first.sheet).tobytes() == tifffile.imread(again.sheet).tobytes()


@pytest.mark.long
def test_without_a_seed_every_sheet_has_a_code_of_its_own(tmp_path: Path) -> None:
    request = replace(SMALL, seed=None, pages=False, form=False)
    one = write_sheet(request, tmp_path / "one.tif")
    other = write_sheet(request, tmp_path / "other.tif")
    assert one.code != other.code
    assert one.form is None and one.pages == ()


@pytest.mark.long
def test_the_mono_sheet_holds_no_colour_but_the_rings(tmp_path: Path) -> None:
    request = replace(SMALL, mono=True, pages=False, form=False)
    written = write_sheet(request, tmp_path / "mono.tif")
    sheet = read_map(written.map.read_text(encoding="utf-8"), "mono")
    assert len(sheet.regions) == 9
    pixels = tifffile.imread(written.sheet)
    coloured = np.ptp(pixels.astype(int), axis=2) > 0
    ring = sheet.region("ring").area
    assert ring is not None
    top, bottom = int(ring.top * 1650), int((ring.top + ring.height) * 1650) + 1
    assert coloured[top:bottom].any()
    coloured[top:bottom] = False
    assert not coloured.any()


class _Stop:
    """A progress callback that stops the work at its n-th call."""

    def __init__(self, at: int) -> None:
        self.left = at

    def __call__(self, done: int, total: int, what: str) -> None:
        assert 0 <= done <= total and what
        self.left -= 1
        if self.left < 0:
            raise Cancelled("Stopped. No sheet was written.")


@pytest.mark.parametrize("at", some_now([0, 3, 9], 0, 9))
def test_a_stopped_run_leaves_nothing(tmp_path: Path, at: int) -> None:
    with pytest.raises(Cancelled):
        write_sheet(SMALL, tmp_path / "sheet.tif", _Stop(at))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.long
def test_a_stopped_run_leaves_the_older_sheet_as_it_was(tmp_path: Path) -> None:
    out = tmp_path / "sheet.tif"
    out.write_bytes(b"older")
    with pytest.raises(Cancelled):
        write_sheet(SMALL, out, _Stop(5))
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.tif"]
    assert out.read_bytes() == b"older"


def _bad_requests() -> Iterator[tuple[SheetRequest, str]]:
    size = SMALL.size_mm
    yield SheetRequest(size, 72), "ppi"
    yield SheetRequest(size, 150, "rgb"), "encoding"  # type: ignore[arg-type]
    yield SheetRequest(size, 150, margins=(-1, 0, 0, 0)), "margins"
    yield SheetRequest(size, 150, mono=True, pictures=(Path("a.jpg"),)), "picture"
    yield SheetRequest((100, 100), 150), "printable area"


@pytest.mark.parametrize(("request_", "told"), list(_bad_requests()))
def test_what_cannot_be_drawn_is_refused(request_: SheetRequest, told: str, tmp_path: Path) -> None:
    with pytest.raises(UsageProblem, match=told):
        write_sheet(request_, tmp_path / "sheet.tif")
    assert list(tmp_path.iterdir()) == []


def test_another_ending_than_tif_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageProblem, match=r"\.tif"):
        write_sheet(SMALL, tmp_path / "sheet.png")


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(FileProblem, match="nowhere"):
        write_sheet(SMALL, tmp_path / "nowhere" / "sheet.tif")


# The picture -------------------------------------------------------------


def _with_picture(tmp_path: Path, name: str, **save: object) -> tuple[np.ndarray, SheetFiles]:
    picture = tmp_path / name
    colours = np.zeros((60, 90, 3), dtype=np.uint8)
    colours[:, :45] = (200, 60, 40)
    colours[:, 45:] = (40, 90, 200)
    Image.fromarray(colours).save(picture, **save)
    request = replace(SMALL, encoding="romm-rgb", pictures=(picture,), pages=False, form=False)
    written = write_sheet(request, tmp_path / "sheet.tif")
    sheet = read_map(written.map.read_text(encoding="utf-8"), "map")
    area = sheet.region("picture").area
    assert area is not None
    assert area.leaf == 2
    pixels = tifffile.imread(written.leaves[0])
    middle = round((area.top + area.height * 0.2) * 1650)
    row = pixels[middle][(pixels[middle] < 65535).any(axis=1)][20:-20]
    return row, written


@pytest.mark.long
def test_the_picture_keeps_its_colours_in_another_encoding(tmp_path: Path) -> None:
    from evaluation.colorimetry.encodings import xyz_from_rgb

    row, _ = _with_picture(tmp_path, "own.png", icc_profile=matrix_profile("srgb"))
    left = lab_from_xyz(xyz_from_rgb(row[5] / 65535, "romm-rgb"))
    expected = lab_from_xyz(xyz_from_rgb(np.array([200, 60, 40]) / 255, "srgb"))
    assert np.linalg.norm(left - expected) < 0.5


@pytest.mark.long
def test_a_picture_without_a_profile_is_taken_for_srgb_and_that_is_said(tmp_path: Path) -> None:
    with_profile, _ = _with_picture(tmp_path, "own.png", icc_profile=matrix_profile("srgb"))
    without, written = _with_picture(tmp_path, "bare.png")
    assert np.abs(with_profile.astype(int) - without.astype(int)).max() < 40
    assert any("sRGB is assumed" in remark for remark in written.remarks)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        pytest.param(b"not a picture", marks=pytest.mark.long),
        b"\x89PNG\r\n\x1a\n" + bytes(30),
        struct.pack("<2sHI", b"II", 42, 8),
    ],
    ids=["empty", "text", "cut PNG", "cut TIFF"],
)
def test_a_file_that_is_no_picture_is_refused(tmp_path: Path, content: bytes) -> None:
    picture = tmp_path / "own.png"
    picture.write_bytes(content)
    request = replace(SMALL, pictures=(picture,))
    with pytest.raises(FileProblem, match=r"own\.png"):
        write_sheet(request, tmp_path / "sheet.tif")
    assert [path.name for path in tmp_path.iterdir()] == ["own.png"]


@pytest.mark.parametrize("in_memory", [0, 10**9], ids=["while it is painted", "while it is opened"])
def test_a_cut_picture_is_refused(tmp_path: Path, in_memory: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("evaluation.sheet.picture._IN_MEMORY", in_memory)
    whole = io.BytesIO()
    noise = np.random.default_rng(1).integers(0, 255, (80, 80, 3), dtype=np.uint8)
    Image.fromarray(noise).save(whole, "JPEG")
    picture = tmp_path / "own.jpg"
    picture.write_bytes(whole.getvalue()[: len(whole.getvalue()) // 2])
    with pytest.raises(FileProblem, match=r"own\.jpg"):
        write_sheet(replace(SMALL, pictures=(picture,)), tmp_path / "sheet.tif")


def test_a_missing_picture_is_named_before_anything_is_drawn(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shelf, "pictures", lambda *_: pytest.fail("our own were drawn first"))
    with pytest.raises(FileProblem, match=r"own\.png"):
        write_sheet(replace(SMALL, scenes=True, pictures=(tmp_path / "own.png",)), tmp_path / "s.tif")


def test_a_profile_for_other_channels_is_refused(tmp_path: Path) -> None:
    picture = tmp_path / "grey.png"
    Image.fromarray(np.full((40, 40), 120, dtype=np.uint8)).save(picture, icc_profile=b"")
    with_rgb_profile = tmp_path / "grey.tif"
    tifffile.imwrite(
        with_rgb_profile, np.full((40, 40), 120, dtype=np.uint8), iccprofile=matrix_profile("srgb")
    )
    request = replace(SMALL, pictures=(with_rgb_profile,), pages=False, form=False)
    with pytest.raises(FileProblem, match=r"a profile for GREY pixels\. Found: one for RGB"):
        write_sheet(request, tmp_path / "sheet.tif")
    plain = replace(SMALL, pictures=(picture,), pages=False, form=False)
    write_sheet(plain, tmp_path / "sheet.tif")


def test_a_damaged_profile_is_never_taken_for_another(tmp_path: Path) -> None:
    damaged = bytearray(matrix_profile("srgb"))
    damaged[36:40] = b"acXX"
    with pytest.raises(DrydownError, match="profile"):
        _with_picture(tmp_path, "own.png", icc_profile=bytes(damaged))
    assert not (tmp_path / "sheet.tif").exists()
