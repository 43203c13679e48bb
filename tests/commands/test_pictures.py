"""The four doors for pictures have one guard: attach, sheet --picture, sheet --map-from, gamut --picture."""

import io
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from itertools import cycle, product
from pathlib import Path
from typing import Any

import pytest
import tifffile
from PIL import Image, PngImagePlugin

from evaluation.archive.connection import open_archive
from evaluation.work.bench import Bench
from evaluation.work.look.attach import attached_to
from tests.cases import some_now
from tests.pictures.made import encoded, jpeg_of, png_of, tiff_of, webp_of

Drydown = Callable[..., Any]
PROFILE = Path(__file__).parents[2] / "fixtures" / "profiles" / "brackmoor-rag-fine.icc"
DOORS: dict[str, Callable[[Path], tuple[object, ...]]] = {
    "attach": lambda path: ("attach", 1, "skin", path),
    "sheet": lambda path: (
        *("sheet", path.parent / "s.tif", "--no-pictures", "--picture", path),
        *("--size", "A4", "--ppi", 150, "--no-pages", "--no-form", "--no-pictures", "--replace"),
    ),
    "map": lambda path: ("sheet", path.parent / "m.toml", "--map-from", path, "--replace"),
    "gamut": lambda path: ("gamut", PROFILE, "--picture", path),
}
KINDS = ("JPEG", "PNG", "TIFF", "WebP")
BAD = {
    "PostScript.jpg": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 100 100\nshowpage\n",
    "drawing.jpg": b'<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"/>',
    "avif.jpg": b"\0\0\0\x1cftypavif\0\0\0\0avifmif1miaf" + bytes(100),
    "dds.png": b"DDS |\0\0\0\x07\x10\0\0" + bytes(120),
    "gif.png": b"GIF89a\x01\0\x01\0\x80\0\0\0\0\0\xff\xff\xff,\0\0\0\0\x01\0\x01\0\0\x02\x02D\x01\0;",
    "empty.tif": b"",
    "huge.png": png_of(100_000, 90_000),
    "huge.jpg": jpeg_of(65_000, 65_000),
    "huge.tif": tiff_of(200_000, 200_000),
    "huge.webp": webp_of(16_383, 16_383),
    "cut.tif": tiff_of(60, 40)[:90],
}
RUN = [sys.executable, "-c", "import sys, tui.cli; sys.exit(tui.cli.main())"]
MEASURED = """
import re, sys, tui.cli
code = tui.cli.main()
print("peak", int(re.search(r"VmHWM:\\s+(\\d+) kB", open("/proc/self/status").read())[1]) >> 10)
sys.exit(code)
"""


@pytest.fixture
def archive(finished_archive: Path, tmp_path: Path, drydown: Drydown) -> Path:
    return Path(shutil.copy(finished_archive, tmp_path / "archive.db"))


def said_once(ran: Any, path: Path, code: int = 1) -> str:
    assert ran.code == code, (ran.out, ran.err)
    assert ran.err.count("\n") == 1 and ran.err.startswith(path.name) and "Traceback" not in ran.err
    return str(ran.err)


@pytest.mark.parametrize(
    ("door", "name"), some_now(product(DOORS, BAD), *zip(cycle(DOORS), BAD, strict=False), several=True)
)
def test_what_is_no_picture_or_too_large_ends_in_one_sentence(
    drydown: Drydown, archive: Path, tmp_path: Path, door: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(subprocess, "Popen", lambda *_, **__: pytest.fail("another program was started"))
    path = tmp_path / name
    path.write_bytes(BAD[name])
    said_once(drydown(*DOORS[door](path)), path)
    assert not (tmp_path / "s.tif").exists() and not (tmp_path / "m.toml").exists()


@pytest.mark.parametrize(
    ("door", "kind"), some_now(product(DOORS, KINDS), *zip(DOORS, KINDS, strict=True), several=True)
)
def test_every_door_takes_the_same_four_kinds(
    drydown: Drydown, archive: Path, tmp_path: Path, door: str, kind: str
) -> None:
    path = tmp_path / "own[page=1].jpg"
    path.write_bytes(encoded(kind))
    assert drydown(*DOORS[door](path)).code == 0


def damaged_lzw(path: Path) -> None:
    """A TIFF whose strips cannot be unpacked: libtiff has much to say about it."""
    import numpy as np

    pixels = np.random.default_rng(3).integers(0, 255, (200, 300, 3), dtype=np.uint8)
    tifffile.imwrite(path, pixels, photometric="rgb", compression="lzw", rowsperstrip=20)
    content = bytearray(path.read_bytes())
    for at in range(2000, len(content) - 2000, 97):
        content[at] ^= 0xFF
    path.write_bytes(content)


@pytest.mark.long
@pytest.mark.parametrize("door", some_now(["attach", "sheet", "gamut"], "attach"))
def test_no_library_has_a_word_on_the_terminal(archive: Path, tmp_path: Path, door: str) -> None:
    """In a process of its own, with all it writes: libraries in C write past Python."""
    path = tmp_path / "lzw.tif"
    damaged_lzw(path)
    words = [str(word) for word in DOORS[door](path)]
    environ = os.environ | {
        "DRYDOWN_ARCHIVE": str(archive),
        "HOME": str(tmp_path),
        "XDG_STATE_HOME": str(tmp_path),
    }
    ran = subprocess.run([*RUN, *words], capture_output=True, text=True, env=environ, timeout=120)
    assert (ran.returncode, ran.stderr.count("\n")) == (1, 1), ran.stderr
    assert ran.stderr.startswith("lzw.tif. Expected: a picture that can be read whole. Found: a damaged one.")


SECRET = "/home/quist/clients/2026"


def with_notes(kind: str) -> bytes:
    """A picture with a path in every place that a program may write one to."""
    notes = Image.Exif()
    notes[0x010E] = notes[0x013B] = SECRET
    more: dict[str, Any] = {"exif": notes, "xmp": f"<x:xmpmeta>{SECRET}</x:xmpmeta>".encode()}
    if kind == "PNG":
        words = PngImagePlugin.PngInfo()
        words.add_text("Comment", SECRET)
        words.add_itxt("XML:com.adobe.xmp", SECRET, zip=True)
        more = {"pnginfo": words, "exif": notes}
    if kind == "JPEG":
        more["comment"] = SECRET.encode()
    if kind == "TIFF":
        more = {"description": SECRET, "artist": SECRET, "exif": notes}
    return encoded(kind, **more)


@pytest.mark.long
def test_notes_in_a_picture_go_no_further(drydown: Drydown, archive: Path, tmp_path: Path) -> None:
    doors = {"JPEG": "skin", "PNG": "neutral", "TIFF": "shadow", "WebP": "highlight"}
    for kind, region in doors.items():
        path = tmp_path / "mottle.jpg"
        path.write_bytes(with_notes(kind))
        assert SECRET.encode() in path.read_bytes() or kind == "PNG"
        assert drydown("attach", 1, region, path, "--caption", "mottle").code == 0
    with open_archive(archive) as opened:
        kept = attached_to(Bench(opened), 1)
    assert len(kept) == len(doors)
    for each in kept:
        assert b"quist" not in each.photograph.content
        assert not set(Image.open(io.BytesIO(each.photograph.content)).info) - {"jfif", "jfif_version",
            "jfif_unit", "jfif_density", "dpi", "progressive", "progression"}  # fmt: skip
    page = tmp_path / "page.html"
    assert drydown("appendix", 1, "-o", page).code == 0
    assert "quist" not in page.read_text("utf-8")


def progressive(path: Path) -> None:
    """As large as progressive JPEG may be: 49 million pixels without thinned colours."""
    import pyvips

    flat = pyvips.Image.black(7000, 7000, bands=3).linear(1, 90).cast("uchar").copy(interpretation="srgb")
    flat.jpegsave(str(path), interlace=True, subsample_mode="off")


def on_its_side(path: Path) -> None:
    """A hundred million pixels, to be turned."""
    import pyvips

    flat = pyvips.Image.black(12_000, 8400, bands=3).linear(1, 90).cast("uchar").copy(interpretation="srgb")
    flat.set_type(pyvips.GValue.gint_type, "orientation", 6)
    flat.jpegsave(str(path))


def deep(path: Path) -> None:
    """Sixteen bits a channel, as prints are made from: 90 million pixels in strips."""
    import pyvips

    flat = pyvips.Image.black(11_000, 8200, bands=3).linear(1, 9000).cast("ushort")
    flat.copy(interpretation="rgb16").tiffsave(str(path), compression="deflate")


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="the memory of a process is asked the way of Linux")
@pytest.mark.parametrize("make", [progressive, on_its_side, deep])
@pytest.mark.parametrize("door", DOORS)
def test_no_picture_takes_600_megabytes(archive: Path, tmp_path: Path, door: str, make: Any) -> None:
    path = tmp_path / "own.jpg"
    make(path)
    words = [str(word) for word in DOORS[door](path)]
    environ = os.environ | {
        "DRYDOWN_ARCHIVE": str(archive),
        "HOME": str(tmp_path),
        "XDG_STATE_HOME": str(tmp_path),
    }
    ran = subprocess.run(
        [sys.executable, "-c", MEASURED, *words], capture_output=True, text=True, env=environ, timeout=300
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    peak = int(ran.stdout.rpartition("peak ")[2])
    print(door, make.__name__, peak, "MB")
    assert peak < 600
