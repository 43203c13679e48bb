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
from evaluation.profile.matrix_profile import matrix_profile
from tests.profile.probes import changed, in_entry, in_tag, profile, tag_at, without

DATA = Path(__file__).parent / "data"
V2 = (DATA / "rgb_output_v2_lab_lut16_g9.icc").read_bytes()


def test_a_sound_profile_is_described(sound: bytes) -> None:
    contents = icc_facts(sound, "sound.icc")
    assert (contents.profile_class, contents.device_space, contents.pcs) == ("output", "RGB", "Lab")
    assert contents.intents == ("perceptual", "relative colorimetric", "saturation")
    assert contents.white is not None and 0.8 < contents.white[1] < 1
    assert contents.document()["kind"] == "profile"


GRID = tag_at(V2, b"B2A1")[1] + 10
LONG_CURVE = b"curv" + struct.pack(">4xI", 2_147_484_348)
DAMAGE: list[tuple[str, Callable[[bytes], bytes], str]] = [
    ("empty", lambda c: b"", "an ICC profile"),
    ("text", lambda c: b"CGATS.17\n" * 40, "an ICC profile"),
    ("cut", lambda c: c[:4000], "the file was cut"),
    ("version 5", lambda c: changed(c, 8, b"\x05\x00"), "a version from 2 to 4. Found: version 5.0.0."),
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
    (
        "a tag of 7 bytes",
        lambda c: in_entry(c, b"cprt", 8, b"\0\0\0\7"),
        "“cprt” of at least 8 bytes. Found: 7.",
    ),
    (
        "a white of text",
        lambda c: in_tag(c, b"wtpt", 0, b"text"),
        "of X, Y and Z. Found: a tag “wtpt” of kind",
    ),
    (
        "a table of one colour",
        lambda c: in_tag(c, b"A2B1", 52, bytes(tag_at(c, b"A2B1")[2] - 52)),
        "colours that differ. Found: one colour throughout.",
    ),
]
# The same of a profile with a matrix: what `contents` once called sound.
OF_MATRIX: list[tuple[str, Callable[[bytes], bytes], str]] = [
    (
        "curve without end",
        lambda c: in_tag(c, b"rTRC", 0, LONG_CURVE),
        "Found: 2,147,484,348 entries, room for ",
    ),
    (
        "gamma below nothing",
        lambda c: in_tag(c, b"gTRC", 12, struct.pack(">i", -17_733 * 65_536)),
        "-1.773e+04",
    ),
    (
        "gamma of 30",
        lambda c: in_tag(c, b"rTRC", 0, b"curv\0\0\0\0\0\0\0\1\x1e\0"),
        "from 0.1 to 10. Found: 30.",
    ),
    (
        "flat curve",
        lambda c: in_tag(c, b"rTRC", 0, b"curv\0\0\0\0\0\0\0\4" + b"\x55" * 8),
        "one value throughout",
    ),
    ("no red", lambda c: without(c, b"rXYZ"), "a matrix with its curves. Found: neither: no tag “rXYZ”."),
    ("no blue curve", lambda c: without(c, b"bTRC"), "no tag “bTRC”."),
    (
        "primaries of text",
        lambda c: in_tag(c, b"rXYZ", 0, b"text"),
        "tag “rXYZ” with X, Y and Z. Found: one of kind",
    ),
    ("a primary of 99", lambda c: in_tag(c, b"gXYZ", 8, struct.pack(">i", 99 * 65_536)), "Found: 99, "),
    (
        "a black white",
        lambda c: in_tag(c, b"gXYZ", 12, bytes(4)),
        "add up to a white of Y = 1. Found: Y = 0.28",
    ),
]


@pytest.mark.parametrize(("damage", "told"), [row[1:] for row in DAMAGE], ids=[row[0] for row in DAMAGE])
def test_a_damaged_profile_is_refused_with_the_reason(damage: Callable[[bytes], bytes], told: str) -> None:
    with pytest.raises(ProfileProblem) as caught:
        icc_facts(damage(V2), "mine.icc")
    assert str(caught.value).startswith("mine.icc. ") and told in str(caught.value)
    assert "\x1b" not in str(caught.value)


@pytest.mark.parametrize(
    ("damage", "told"), [row[1:] for row in OF_MATRIX], ids=[row[0] for row in OF_MATRIX]
)
def test_a_matrix_profile_is_sound_only_with_curves_and_primaries_that_can_be(
    damage: Callable[[bytes], bytes], told: str
) -> None:
    """Layouts: ICC.1:2022 10.6, 10.18, 10.31; clause 8.3.3 for what such a profile must hold."""
    sound = matrix_profile("srgb")
    assert icc_facts(sound, "mine.icc").warnings == ()
    with pytest.raises(ProfileProblem) as caught:
        icc_facts(damage(sound), "mine.icc")
    assert str(caught.value).startswith("mine.icc. ") and told in str(caught.value)


def test_the_matrix_of_a_camera_reaches_beyond_all_colours() -> None:
    """Cameras whose primaries hold Y -1.25 and Z 3.7 are described so, by profiles that Debian carries."""
    beyond = in_tag(matrix_profile("srgb"), b"rXYZ", 8, struct.pack(">3i", 23_135, -81_909, 243_000))
    with pytest.raises(ProfileProblem, match=r"from -0\.5 to 1\.5"):
        icc_facts(beyond, "space.icc")
    assert icc_facts(beyond[:12] + b"scnr" + beyond[16:], "camera.icc").profile_class == "input"


def test_a_private_tag_that_comes_twice_is_told_and_the_profile_used() -> None:
    """Engines take the first; ICC.1 lets nobody but its owner read a private tag."""
    tags = {
        b"A2B0": V2[tag_at(V2, b"A2B0")[1] :][: tag_at(V2, b"A2B0")[2]],
        b"prv1": bytes(8),
        b"prv2": bytes(9),
    }
    found = icc_facts(in_entry(profile(tags, space=b"RGB "), b"prv2", 0, b"prv1"), "mine.icc")
    assert found.tags == ("A2B0", "prv1")
    assert "Tag “prv1”, which ICC.1 does not define, is in it more than once." in found.warnings


def test_every_device_space_of_the_standard_is_known_by_name() -> None:
    """ICC.1:2022 table 19: YCbCr stands there as YCbr. Such a profile describes no print."""
    contents = icc_facts(changed(matrix_profile("srgb"), 12, b"abstYCbr"), "mine.icc")
    assert (contents.device_space, contents.channels) == ("YCbCr", 3)


def test_a_description_ends_before_the_nul_that_some_programs_write() -> None:
    text = "Lustre\0".encode("utf-16-be")
    named = b"mluc" + struct.pack(">4xII2s2sII", 1, 12, b"en", b"US", len(text), 28) + text
    contents = icc_facts(profile({b"desc": named}, space=b"RGB ", device_class=b"abst"), "mine.icc")
    assert contents.description == "Lustre"


@pytest.mark.parametrize(
    ("signature", "word"), [(b"link", "device link"), (b"nmcl", "named colour"), (b"abst", "abstract")]
)
def test_kinds_that_predict_no_print_are_refused_by_name(signature: bytes, word: str) -> None:
    contents = icc_facts(changed(V2, 12, signature), "mine.icc")
    with pytest.raises(ProfileProblem, match=word):
        refuse_for_prints(contents, "mine.icc")


def test_control_codes_of_a_description_are_made_visible() -> None:
    _, offset, _ = tag_at(V2, b"desc")
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
