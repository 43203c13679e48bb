"""Photographs of a fault: upright, scaled, without notes; in the page; refusals in one sentence."""

import io
from pathlib import Path

import pytest
from PIL import Image, ImageCms

from evaluation.appendix import html, pdf, photographs
from evaluation.appendix.document import Picture
from evaluation.errors import ArchiveProblem, FileProblem, UsageProblem
from evaluation.work.look import attach
from evaluation.work.write_up import write_up


def encoded(picture, form="JPEG", **more):
    into = io.BytesIO()
    picture.save(into, form, **more)
    return into.getvalue()


@pytest.fixture
def scaled(tmp_path):
    """A photograph of these bytes."""

    def made(content, name="a.jpg"):
        path = tmp_path / name
        path.write_bytes(content)
        return photographs.scaled(path)

    return made


def opened(photograph):
    return Image.open(io.BytesIO(photograph.content))


@pytest.mark.long
def test_the_longer_side_is_scaled_and_the_shape_stays(scaled):
    kept = scaled(encoded(Image.new("RGB", (4000, 3000), "grey")), "a.jpg")
    assert (kept.width, kept.height) == (1400, 1050) == opened(kept).size


def test_a_small_one_is_not_enlarged(scaled):
    kept = scaled(encoded(Image.new("RGB", (300, 200), "grey"), "PNG"), "a.png")
    assert (kept.width, kept.height) == (300, 200)


def test_it_is_turned_upright_and_loses_the_notes_of_the_camera(scaled):
    notes = Image.Exif()
    notes[0x0112] = 6  # orientation: turned a quarter
    notes[0x013B] = "Wilhelmina Quist"
    notes.get_ifd(0x8825)[1] = "N"  # place
    kept = scaled(encoded(Image.new("RGB", (400, 200), "grey"), exif=notes), "a.jpg")
    assert (kept.width, kept.height) == (200, 400)
    assert not opened(kept).getexif() and b"Quist" not in kept.content


def test_a_wide_encoding_is_brought_to_srgb(scaled):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    kept = scaled(encoded(Image.new("RGB", (20, 20), (200, 40, 40)), icc_profile=profile), "a.jpg")
    assert "icc_profile" not in opened(kept).info
    assert opened(kept).getpixel((10, 10)) == pytest.approx((200, 40, 40), abs=4)


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P", "CMYK", "L", "1"])
def test_every_kind_of_picture_becomes_rgb(scaled, mode):
    form = "TIFF" if mode == "CMYK" else "PNG"
    kept = scaled(encoded(Image.new(mode, (30, 30)), form), "a")
    assert opened(kept).mode == "RGB"


@pytest.mark.parametrize(
    "content", [b"", b"not a picture", encoded(Image.new("RGB", (300, 200)))[:200], b"GIF89a\x00"]
)
def test_what_is_no_picture_is_refused_in_one_sentence(scaled, content):
    with pytest.raises(
        FileProblem, match=r"a\.jpg\. Expected: a picture .*\. Found: .*\. The photograph was not"
    ):
        scaled(content)


def test_an_attached_photograph_stands_in_its_region_with_its_caption(archive_bench, tmp_path):
    file = tmp_path / "mottle.jpg"
    file.write_bytes(encoded(Image.new("RGB", (800, 600), "grey")))
    step = attach.attach(archive_bench, 1, "skin", file, fault="blotchy", caption="left <cheek>")
    assert "photograph" in step.words
    page = html.render(document := write_up.appendix(archive_bench, [1]))
    (picture,) = [block for block in document.blocks() if isinstance(block, Picture)]
    assert picture.caption == "Blotchy. Left <cheek>." and picture.alt.startswith("Photograph of blotchy.")
    assert 'alt="Photograph of blotchy. Left &lt;cheek&gt;." width="800" height="600"' in page


@pytest.mark.long
def test_a_page_with_a_photograph_keeps_to_pdf_ua(archive_bench, tmp_path):
    file = tmp_path / "mottle.jpg"
    file.write_bytes(encoded(Image.new("RGB", (800, 600), "grey")))
    attach.attach(archive_bench, 1, "skin", file, fault="blotchy", caption="left <cheek>")
    assert pdf.render(write_up.appendix(archive_bench, [1])).accessible


def test_another_photograph_of_the_fault_takes_its_place_and_undo_brings_it_back(archive_bench, tmp_path):
    from evaluation.work.log import undo

    for grey, name in ((10, "a.png"), (200, "b.png")):
        (tmp_path / name).write_bytes(encoded(Image.new("L", (40, 40), grey), "PNG"))
        attach.attach(archive_bench, 1, "skin", tmp_path / name, fault="blotchy")
    (second,) = attach.attached_to(archive_bench, 1)
    undo(archive_bench, 1)
    (first,) = attach.attached_to(archive_bench, 1)
    assert first.photograph != second.photograph


def test_a_photograph_and_what_is_said_of_it_are_kept_together_or_not_at_all(
    archive_bench, tmp_path, monkeypatch
):
    (tmp_path / "a.png").write_bytes(encoded(Image.new("L", (40, 40)), "PNG"))
    before = archive_bench.archive.rows("SELECT digest FROM document")

    def refused(*_given):
        raise ArchiveProblem("Nothing was changed.", found="a full disk")

    monkeypatch.setattr(attach, "say", refused)
    with pytest.raises(ArchiveProblem):
        attach.attach(archive_bench, 1, "skin", tmp_path / "a.png")
    assert archive_bench.archive.rows("SELECT digest FROM document") == before


@pytest.mark.parametrize(
    ("region", "fault", "told"),
    [("nowhere", "", "a region of the sheet"), ("skin", "nonsense", "a fault of Skin tones")],
)
def test_a_region_or_fault_that_the_sheet_does_not_name_is_refused(archive_bench, region, fault, told):
    with pytest.raises(UsageProblem, match=told):
        attach.attach(archive_bench, 1, region, Path("a.jpg"), fault=fault)


def test_a_photograph_that_is_not_there_is_said(archive_bench, tmp_path):
    with pytest.raises(FileProblem, match="Found: nothing of that name"):
        attach.attach(archive_bench, 1, "skin", tmp_path / "none.jpg")
