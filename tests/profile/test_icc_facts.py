"""Profiles are checked by their bytes: sound ones are described, damaged ones refused with the reason.

Layout of header, tag table and tables: ICC.1:2022 (version 4) and ICC.1:2001-04 (version 2).
"""

import struct
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.errors import ProfileProblem
from evaluation.profile.icc_facts import icc_facts, read_profile, refuse_for_prints

DATA = Path(__file__).parent / "data"
V2 = (DATA / "rgb_output_v2_lab_lut16_g9.icc").read_bytes()


def changed(content: bytes, at: int, new: bytes) -> bytes:
    return content[:at] + new + content[at + len(new) :]


def tag_at(content: bytes, signature: bytes) -> tuple[int, int]:
    count = struct.unpack_from(">I", content, 128)[0]
    for index in range(count):
        found, offset, length = struct.unpack_from(">4sII", content, 132 + 12 * index)
        if found == signature:
            return offset, length
    raise KeyError(signature)


def test_a_sound_profile_is_described(sound: bytes) -> None:
    contents = icc_facts(sound, "sound.icc")
    assert (contents.profile_class, contents.device_space, contents.pcs) == ("output", "RGB", "Lab")
    assert contents.intents == ("perceptual", "relative colorimetric", "saturation")
    assert contents.white is not None and 0.8 < contents.white[1] < 1
    assert contents.document()["kind"] == "profile"


GRID = tag_at(V2, b"B2A1")[0] + 10
DAMAGE: list[tuple[str, Callable[[bytes], bytes], str]] = [
    ("empty", lambda c: b"", "an ICC profile"),
    ("text", lambda c: b"CGATS.17\n" * 40, "an ICC profile"),
    ("cut", lambda c: c[:4000], "the file was cut"),
    ("version 5", lambda c: changed(c, 8, b"\x05\x00"), "version 2 or 4. Found: version 5.0.0."),
    ("class", lambda c: changed(c, 12, b"prtX"), "Found: “prtX”"),
    ("space", lambda c: changed(c, 16, b"\x1b[31"), "a device colour space"),
    ("connection space", lambda c: changed(c, 20, b"Luv "), "Lab or XYZ"),
    ("tag count", lambda c: changed(c, 128, b"\xff\xff\xff\xff"), "Found: 4,294,967,295"),
    ("no tags", lambda c: changed(c, 128, b"\0\0\0\0"), "1 to 200 tags"),
    ("tag outside", lambda c: changed(c, 136, b"\x7f\xff\xff\xff"), "inside the file"),
    ("tag in the header", lambda c: changed(c, 136, b"\0\0\0\x10"), "inside the file"),
    ("grid 0", lambda c: changed(c, GRID, b"\0"), "a grid of at least 2. Found: 0."),
    ("grid too large", lambda c: changed(c, GRID, b"\x40"), "bytes. Found: "),
    ("channels", lambda c: changed(c, GRID - 2, b"\x20"), "1 to 15 channels"),
]


@pytest.mark.parametrize(("damage", "told"), [row[1:] for row in DAMAGE], ids=[row[0] for row in DAMAGE])
def test_a_damaged_profile_is_refused_with_the_reason(damage: Callable[[bytes], bytes], told: str) -> None:
    with pytest.raises(ProfileProblem) as caught:
        icc_facts(damage(V2), "mine.icc")
    assert str(caught.value).startswith("mine.icc. ") and told in str(caught.value)
    assert "\x1b" not in str(caught.value)


@pytest.mark.parametrize(
    ("signature", "word"), [(b"link", "device link"), (b"nmcl", "named colour"), (b"abst", "abstract")]
)
def test_kinds_that_predict_no_print_are_refused_by_name(signature: bytes, word: str) -> None:
    contents = icc_facts(changed(V2, 12, signature), "mine.icc")
    with pytest.raises(ProfileProblem, match=word):
        refuse_for_prints(contents, "mine.icc")


def test_control_codes_of_a_description_are_made_visible() -> None:
    offset, _ = tag_at(V2, b"desc")
    contents = icc_facts(changed(V2, offset + 12, b"\x1b[31mred"), "mine.icc")
    assert contents.description.startswith("␛[31mred")


def test_bytes_after_the_end_are_told() -> None:
    assert "3 bytes follow" in icc_facts(V2 + b"\0\0\0", "mine.icc").warnings[0]


def test_a_file_that_is_not_there_is_told() -> None:
    with pytest.raises(ProfileProblem, match="Found: nothing of that name"):
        read_profile(DATA / "none.icc")


@given(st.integers(0, len(V2) - 1), st.binary(min_size=1, max_size=8))
def test_any_damage_ends_in_facts_or_in_our_own_problem(at: int, new: bytes) -> None:
    try:
        icc_facts(changed(V2, at, new)[: len(V2)], "mine.icc")
    except ProfileProblem as problem:
        assert "mine.icc" in str(problem)


def test_a_tag_that_stands_twice_is_refused_before_any_engine_chooses_one() -> None:
    count = struct.unpack_from(">I", V2, 128)[0]
    entry = next(at for at in range(132, 132 + 12 * count, 12) if V2[at : at + 4] == b"A2B2")
    with pytest.raises(
        ProfileProblem, match=r"one tag “A2B1”\. Found: two, of which engines choose differently"
    ):
        icc_facts(changed(V2, entry, b"A2B1"), "mine.icc")
