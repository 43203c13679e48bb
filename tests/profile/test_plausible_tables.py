"""Values inside the tables of a profile: those of no device, and odd ones. Sound ones pass without a word."""

import struct
from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.encodings import ENCODINGS
from evaluation.errors import ProfileProblem
from evaluation.profile.decoded_tables import decoded
from evaluation.profile.engine import lab_from_device, open_source
from evaluation.profile.icc_facts import icc_facts
from evaluation.profile.matrix_profile import matrix_profile
from evaluation.profile.tags import tags_of
from fixtures.printer import icc
from tests.profile.probes import coded, four_inks, in_tag, profile

DATA = Path(__file__).parent / "data"
V2 = (DATA / "rgb_output_v2_lab_lut16_g9.icc").read_bytes()
V4 = (DATA / "rgb_output_v4_lab_mab_g9.icc").read_bytes()
ROOM = Path(icc.__file__).parents[1] / "profiles"
ENTRIES = struct.unpack(">H", tags_of(V2, "").data(b"A2B1")[48:50])[0]
GRID = 52 + 2 * 3 * ENTRIES  # where the points of the table begin


def points(lab: "np.ndarray[tuple[int, ...], np.dtype[np.float64]]") -> bytes:
    """A table (9, 9, 9, 3) of CIELAB as lut16Type of version 2 codes it."""
    return np.array([coded(tuple(row)) for row in lab.reshape(-1, 3)], ">u2").tobytes()


def lab_of(content: bytes) -> "np.ndarray[tuple[int, ...], np.dtype[np.float64]]":
    found = decoded(tags_of(content, "").data(b"A2B1"), "Lab")
    assert found is not None and found.lab is not None
    return found.lab


@pytest.mark.parametrize("content", [V2, V4, four_inks(), (ROOM / "brackmoor-rag-fine.icc").read_bytes()])
def test_tables_are_decoded_as_little_cms_reads_them(content: bytes) -> None:
    """At points of the grid no interpolation comes in; the curves of these profiles are straight or known."""
    lab = lab_of(content)
    channels = lab.ndim - 1
    corners = np.array(np.meshgrid(*[[0, 1]] * channels, indexing="ij")).reshape(channels, -1).T
    theirs = lab_from_device(open_source(content, "a.icc"), corners.astype(float))
    ours = lab[tuple((corners * (lab.shape[0] - 1)).T)]
    np.testing.assert_allclose(ours, theirs, atol=0.02)


def test_parametric_curves_are_those_of_the_standard() -> None:
    """ICC.1:2022 table 68, function 3, against the decoding of IEC 61966-2-1."""
    from evaluation.profile.decoded_tables import _curves

    (curve,) = _curves(tags_of(matrix_profile("srgb"), "").data(b"rTRC"), 0, 1)
    np.testing.assert_allclose(curve, ENCODINGS["srgb"].decode(np.linspace(0, 1, 256)), atol=1e-4)


def profiles() -> list[Path]:
    return [*sorted(ROOM.glob("*.icc")), *sorted(DATA.glob("*.icc"))]


def test_sound_profiles_pass_without_a_word() -> None:
    for path in profiles():
        assert not [w for w in icc_facts(path.read_bytes(), path.name).warnings if "A2B" in w], path.name
    cmyk = icc_facts(four_inks(), "inks.icc")
    assert not [warning for warning in cmyk.warnings if "lie far" in warning or "turn" in warning]


FLAT = np.broadcast_to(np.array([48.0, 0, 0]), (9, 9, 9, 3)) + np.linspace(0, 5, 9)[:, None, None, None]


NO_DEVICE = {
    "one value throughout in the curve of channel 2": (b"A2B1", 52 + 2 * ENTRIES, b"\x80\0" * ENTRIES),
    "one value throughout in the curve of L": (b"A2B1", GRID + 6 * 729, b"\x80\0" * 2),
    "L\\* from 48 to 53": (b"A2B0", GRID, points(FLAT)),
    "L\\* 7 where white is meant, 100 at black": (b"A2B1", GRID, points(lab_of(V2)[::-1, ::-1, ::-1])),
}


@pytest.mark.parametrize("found", NO_DEVICE)
def test_values_that_no_device_has_are_refused(found: str) -> None:
    with pytest.raises(ProfileProblem, match=found):
        icc_facts(in_tag(V2, *NO_DEVICE[found]), "mine.icc")


def told(content: bytes) -> list[str]:
    return [warning for warning in icc_facts(content, "mine.icc").warnings if "A2B" in warning]


def test_what_is_odd_is_told_and_the_profile_stays_usable() -> None:
    yellowish = lab_of(V2).copy()
    yellowish[..., 2] += 12 * yellowish[..., 0] / 100
    stray = lab_of(V2).copy()
    stray[4, 4, 4] = stray[2, 6, 5] = (5, 90, -90)
    (paper,) = told(in_tag(V2, b"A2B1", GRID, points(yellowish)))
    assert paper == "“A2B1” shows bare paper as L* 100, a* 0, b* 12; a relative table has it white."
    (damage,) = told(in_tag(V2, b"A2B1", GRID, points(stray)))
    assert damage.startswith("2 of 721 points of “A2B0” lie far from all their neighbours")


def test_a_curve_that_turns_back_is_told_on_either_side() -> None:
    """A lut8Type of version 2 with a grid of two, written here: 256 entries a curve."""
    straight = bytes(range(256))
    turned = bytes([*range(200), *range(150, 206)])
    cube = bytes(value for r, g, b in np.ndindex(2, 2, 2) for value in (85 * (r + g + b), 128, 128))
    head = struct.pack(">4s4x4B9i", b"mft1", 3, 3, 2, 0, *(65536 * (n % 4 == 0) for n in range(9)))
    table = head + straight * 2 + turned + cube + turned + straight * 2
    content = profile({b"A2B0": table, b"B2A0": table}, space=b"RGB ")
    assert [warning for warning in told(content) if "curve" in warning] == [
        "“A2B0”: 1 curve on the side of the device turns back.",
        "“A2B0”: 1 curve on the side of the colour turns back.",
    ]
