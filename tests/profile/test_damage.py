"""Damaged profiles: whatever was done to one, it never yields a colour.

Header, tag table, tables of version 2 and 4, four inks, matrix, grey: each kind of damage is one change to a
sound profile. What is asked of each: one sentence that names the file, and no number.
"""

import io
import struct
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from evaluation.errors import ProfileProblem
from evaluation.profile.engine import device_from_lab, lab_from_device, open_profile, open_source
from evaluation.profile.icc_facts import icc_facts
from evaluation.profile.matrix_profile import matrix_profile
from evaluation.session import Intent
from tests.profile.probes import INK_OF, SHOWN, changed, four_inks, in_entry, in_tag, lut16, profile, without

DATA = Path(__file__).parent / "data"
V2 = (DATA / "rgb_output_v2_lab_lut16_g9.icc").read_bytes()
V4 = (DATA / "rgb_output_v4_lab_mab_g9.icc").read_bytes()
MATRIX = matrix_profile("srgb")
INKS = four_inks()

Damage = Callable[[], bytes]


def stage(content: bytes, signature: bytes, which: int) -> int:
    """Where a stage of a version 4 table begins: 0 curves by Lab, 1 matrix, 2 curves, 3 table, 4 curves."""
    at = content.index(signature, 128)
    offset = struct.unpack_from(">I", content, at + 4)[0]
    return int(struct.unpack_from(">I", content, offset + 12 + 4 * which)[0])


DAMAGES: dict[str, Damage] = {
    # the header
    "nothing": lambda: b"",
    "three bytes": lambda: V2[:3],
    "half a header": lambda: V2[:64],
    "a header alone": lambda: V2[:128],
    "text": lambda: b"CGATS.17\nORIGINATOR\n" * 40,
    "no signature": lambda: changed(V2, 36, b"acsq"),
    "size beyond the file": lambda: changed(V2, 0, struct.pack(">I", len(V2) + 1)),
    "size of four gigabytes": lambda: changed(V2, 0, b"\xff\xff\xff\xff"),
    "size of nothing": lambda: changed(V2, 0, b"\0\0\0\0"),
    "cut in half": lambda: V2[: len(V2) // 2],
    "cut by a byte": lambda: V2[:-1],
    "version 1": lambda: changed(V2, 8, b"\x01\x00"),
    "version 5": lambda: changed(V4, 8, b"\x05\x00"),
    "version 255": lambda: changed(V2, 8, b"\xff\xff"),
    "unknown class": lambda: changed(V2, 12, b"prin"),
    "device link": lambda: changed(V2, 12, b"link"),
    "named colours": lambda: changed(V2, 12, b"nmcl"),
    "abstract": lambda: changed(V2, 12, b"abst"),
    "unknown space": lambda: changed(V2, 16, b"RGBW"),
    "five inks": lambda: changed(V2, 16, b"5CLR"),
    "inks for RGB tables": lambda: changed(V2, 16, b"CMYK"),
    "grey for RGB tables": lambda: changed(V2, 16, b"GRAY"),
    "RGB for ink tables": lambda: changed(INKS, 16, b"RGB "),
    "a device of Lab": lambda: changed(V2, 16, b"Lab "),
    "a device of XYZ": lambda: changed(V2, 16, b"XYZ "),
    "unknown connection space": lambda: changed(V2, 20, b"Luv "),
    "RGB as connection space": lambda: changed(V2, 20, b"RGB "),
    # the tag table
    "no tags": lambda: changed(V2, 128, b"\0\0\0\0"),
    "a billion tags": lambda: changed(V2, 128, b"\x40\0\0\0"),
    "more tags than fit": lambda: changed(V2, 128, struct.pack(">I", 199))[:2500],
    "a tag in the header": lambda: in_entry(V2, b"A2B1", 4, b"\0\0\0\x40"),
    "a tag behind the end": lambda: in_entry(V2, b"A2B1", 4, struct.pack(">I", len(V2))),
    "a tag that wraps around": lambda: in_entry(V2, b"A2B1", 4, b"\xff\xff\xff\xf0\x00\x00\x10\x00"),
    "a tag of no length": lambda: in_entry(V2, b"A2B1", 8, b"\0\0\0\0"),
    "a tag that ends early": lambda: in_entry(V2, b"A2B1", 8, b"\0\0\0\x60"),
    "a tag twice": lambda: in_entry(V2, b"A2B2", 0, b"A2B1"),
    # tables of version 2
    "no table towards colour": lambda: without(V2, b"A2B0", b"A2B1", b"A2B2"),
    "no table towards the device": lambda: without(V2, b"B2A0", b"B2A1", b"B2A2"),
    "a table of unknown kind": lambda: in_tag(V2, b"A2B1", 0, b"zzzz"),
    "a text for a table": lambda: in_tag(V2, b"B2A1", 0, b"text"),
    "a curve for a table": lambda: in_tag(V2, b"A2B0", 0, b"curv"),
    "a grid of 0": lambda: in_tag(V2, b"A2B1", 10, b"\0"),
    "a grid of 1": lambda: in_tag(V2, b"B2A0", 10, b"\1"),
    "a grid of 255": lambda: in_tag(V2, b"A2B1", 10, b"\xff"),
    "no channels in": lambda: in_tag(V2, b"A2B1", 8, b"\0"),
    "sixteen channels in": lambda: in_tag(V2, b"A2B1", 8, b"\x10"),
    "four channels in": lambda: in_tag(V2, b"A2B1", 8, b"\4"),
    "two channels in": lambda: in_tag(V2, b"A2B1", 8, b"\2"),
    "no channels out": lambda: in_tag(V2, b"B2A1", 9, b"\0"),
    "one channel out": lambda: in_tag(V2, b"A2B1", 9, b"\1"),
    "curves of no entries": lambda: in_tag(V2, b"A2B1", 48, b"\0\0"),
    "curves of one entry": lambda: in_tag(V2, b"A2B1", 50, b"\0\1"),
    "curves without end": lambda: in_tag(V2, b"A2B1", 48, b"\xff\xff"),
    "8 bit for 16 bit tables": lambda: in_tag(INKS, b"A2B1", 0, b"mft1"),
    # tables of version 4
    "curves outside": lambda: in_tag(V4, b"A2B1", 12, b"\x7f\0\0\0"),
    "no curves": lambda: in_tag(V4, b"A2B1", 12, b"\0\0\0\0"),
    "curves in the head": lambda: in_tag(V4, b"A2B1", 12, b"\0\0\0\4"),
    "curves of unknown kind": lambda: in_tag(V4, b"A2B1", stage(V4, b"A2B1", 0), b"zzzz"),
    "curves longer than the tag": lambda: in_tag(V4, b"A2B1", stage(V4, b"A2B1", 0) + 8, b"\x00\xff\xff\xff"),
    "a table outside": lambda: in_tag(V4, b"A2B1", 24, b"\0\xff\xff\xff"),
    "a stage of grid 0": lambda: in_tag(V4, b"A2B1", stage(V4, b"A2B1", 3), b"\0"),
    "a stage of grid 1": lambda: in_tag(V4, b"B2A1", stage(V4, b"B2A1", 3) + 2, b"\1"),
    "a stage of grid 255": lambda: in_tag(V4, b"A2B1", stage(V4, b"A2B1", 3), b"\xff\xff\xff"),
    "values of 0 bytes": lambda: in_tag(V4, b"A2B1", stage(V4, b"A2B1", 3) + 16, b"\0"),
    "values of 4 bytes": lambda: in_tag(V4, b"A2B1", stage(V4, b"A2B1", 3) + 16, b"\4"),
    "version 4 channels": lambda: in_tag(V4, b"B2A1", 9, b"\4"),
    "the other direction": lambda: in_tag(V4, b"A2B1", 0, b"mft2"),
    # what scales absolute colours
    "a white of nothing": lambda: in_tag(V2, b"wtpt", 8, bytes(12)),
    "a white below nothing": lambda: in_tag(V2, b"wtpt", 8, struct.pack(">3i", -60000, 65536, 54061)),
    "a white beyond white": lambda: in_tag(V2, b"wtpt", 8, b"\x7f\xff\xff\xff" * 3),
    # four inks, matrix, grey
    "ink tables of a grid of 0": lambda: in_tag(INKS, b"A2B1", 10, b"\0"),
    "ink tables cut": lambda: INKS[:-40],
    "a matrix without green": lambda: without(MATRIX, b"gXYZ"),
    "a matrix without curves": lambda: without(MATRIX, b"rTRC"),
    "curves of unknown function": lambda: in_tag(MATRIX, b"rTRC", 8, b"\0\x63"),
    "curves of another kind": lambda: in_tag(MATRIX, b"rTRC", 0, b"text"),
    "a matrix as output of four inks": lambda: changed(MATRIX, 16, b"CMYK"),
    "grey without a curve": lambda: profile({b"desc": b"desc" + bytes(80)}, space=b"GRAY"),
    "a table of grey with three in": lambda: profile(
        {b"A2B0": lut16(3, 2, [0] * 24, 3), b"B2A0": lut16(3, 2, [0] * 8, 1)}, space=b"GRAY"
    ),
}


@pytest.mark.parametrize("kind", DAMAGES)
def test_no_damage_yields_a_colour(kind: str) -> None:
    damaged = DAMAGES[kind]()
    with pytest.raises(ProfileProblem) as caught:
        lab_from_device(open_profile(damaged, "mine.icc"), np.full((1, 3), 0.5))
    told = str(caught.value)
    assert told.startswith("mine.icc. ") and "Found: " in told and "\n" not in told


@pytest.mark.parametrize("kind", [name for name in DAMAGES if name != "no table towards the device"])
def test_no_damage_yields_a_colour_of_a_picture_either(kind: str) -> None:
    """A profile that says what a picture's numbers mean needs no way back; nothing else is forgiven."""
    with pytest.raises(ProfileProblem):
        open_source(DAMAGES[kind](), "mine.icc")


def test_the_kinds_of_damage_are_many_and_each_is_another() -> None:
    made = [damage() for damage in DAMAGES.values()]
    assert len(made) >= 40 and len(set(made)) == len(made)


def test_the_profiles_that_are_damaged_are_sound_themselves() -> None:
    for content, channels in ((V2, 3), (V4, 3), (INKS, 4), (MATRIX, 3)):
        colour = lab_from_device(open_profile(content, "sound.icc"), np.full((1, channels), 0.25))
        assert np.isfinite(colour).all()


def test_a_missing_colorimetric_table_is_said_and_the_perceptual_one_stands_in() -> None:
    """Asked for the missing one, libvips would compute with sRGB."""
    lacking = without(INKS, b"A2B1")
    assert icc_facts(lacking, "mine.icc").warnings == (
        "It has no relative colorimetric table; its perceptual one is used instead.",
    )
    shown = lab_from_device(open_profile(lacking, "mine.icc"), np.array([[0.5, 0, 0, 0]]))
    assert np.abs(shown - SHOWN["perceptual"]).max() < 0.1


@pytest.mark.parametrize("intent", ["relative colorimetric", "saturation", "absolute colorimetric"])
def test_a_missing_table_towards_the_device_is_the_perceptual_one(intent: Intent) -> None:
    lacking = open_profile(without(INKS, b"B2A1", b"B2A2"), "mine.icc")
    device = device_from_lab(lacking, np.array([[50.0, 0, 0]]), intent, black_compensation=False)
    assert device[0, 3] == pytest.approx(INK_OF["perceptual"], abs=1e-4)


def test_what_a_second_reader_refuses_is_refused_whatever_it_raises(monkeypatch: pytest.MonkeyPatch) -> None:
    """Little CMS through Pillow raises several unrelated kinds of exception."""
    from PIL import ImageCms

    def broken(_: io.BytesIO) -> None:
        raise UnicodeDecodeError("ascii", b"\xff", 0, 1, "ordinal not in range")

    monkeypatch.setattr(ImageCms, "getOpenProfile", broken)
    with pytest.raises(ProfileProblem, match=r"Expected: a profile that Little CMS can compute with"):
        open_profile(V2, "mine.icc")


@pytest.mark.long
@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_ten_thousand_mutations_neither_crash_nor_fall_back_to_another_space(seed: int) -> None:
    """In a process of its own: a crash of a library would end that process, not this one."""
    script = Path(__file__).parent / "mutate.py"
    ran = subprocess.run(
        [sys.executable, str(script), str(seed), "2500"], capture_output=True, text=True, timeout=1200
    )
    assert ran.returncode == 0, ran.stdout[-2000:] + ran.stderr[-2000:]
    assert "2500 profiles" in ran.stdout
