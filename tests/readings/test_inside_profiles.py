"""Readings inside profiles: each way in which programs keep them, damage, and what is refused.

“targ” and its text: ICC.1:2022 clause 9 (charTargetTag). CxF3 in a private tag, compressed or plain, and the
pair “DevD”, “CIED” are common practice. The profiles are twins of such files, made here.
"""

import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from evaluation.errors import FileProblem, UsageProblem
from evaluation.profile import carried as inside
from evaluation.profile.engine import open_profile
from evaluation.readings.detect import read_readings
from evaluation.readings.supplied import Supplied
from tests.profile.carrying import carrying, cxf, packed_tag, table, text_tag
from tests.profile.probes import changed, in_tag, tag_at

DATA = Path(__file__).parents[1] / "profile" / "data"
V2 = (DATA / "rgb_output_v2_lab_lut16_g9.icc").read_bytes()
Write = Callable[..., Path]

LEVELS = (0, 128, 255)
RGB = [(r, g, b) for r in LEVELS for g in LEVELS for b in LEVELS]
LAB = [(10 + 28 * (r + g + b) / 255, (r - g) / 8, (g - b) / 8) for r, g, b in RGB]
NAMES = "SAMPLE_ID RGB_R RGB_G RGB_B"
DEVICE = [(n, *rgb) for n, rgb in enumerate(RGB, 1)]
COLOURS = [(n, *(f"{value:.3f}" for value in lab)) for n, lab in enumerate(LAB, 1)]
WHOLE = table(f"{NAMES} LAB_L LAB_A LAB_B", [(*d, *c[1:]) for d, c in zip(DEVICE, COLOURS, strict=True)])
SPECTRA = [(rgb, [0.03 + sum(rgb) / 900] * 36) for rgb in RGB]

WAYS: dict[str, dict[bytes, bytes]] = {
    "text in targ": {b"targ": text_tag(WHOLE)},
    "device and colours in two tags": {
        b"DevD": text_tag(table(NAMES, DEVICE)),
        b"CIED": text_tag(table("SAMPLE_ID LAB_L LAB_A LAB_B", COLOURS)),
    },
    "CxF3, compressed": {b"prv1": packed_tag(cxf(SPECTRA))},
    "CxF3, plain": {b"prv1": text_tag(cxf(SPECTRA), b"utf8")},
    "the same in two ways": {b"targ": text_tag(WHOLE), b"prv1": packed_tag(cxf(SPECTRA))},
}


@pytest.mark.parametrize("way", WAYS)
def test_a_profile_gives_what_it_was_made_from(write: Write, way: str) -> None:
    (run,) = read_readings(write(carrying(V2, WAYS[way]), "mine.icc"))
    assert (run.printed_as, run.source_name, run.device_space, len(run)) == (
        "unmanaged",
        "mine.icc",
        "RGB",
        27,
    )
    assert run.device is not None and np.allclose(run.device * 255, RGB, atol=0.01)
    assert run.part.startswith("tag")
    if "CxF3" in way or "same" in way:
        assert run.spectra is not None and run.spectra.shape == (27, 36) and run.stated.condition == "M0"
    else:
        assert run.lab is not None and np.allclose(run.lab, LAB, atol=0.001)


def test_two_conditions_are_two_runs_and_tags_that_share_their_bytes_are_one(write: Write) -> None:
    both = {b"prv1": packed_tag(cxf(SPECTRA)), b"prv2": packed_tag(cxf(SPECTRA, "M2"))}
    runs = read_readings(write(carrying(V2, both), "mine.icc"))
    assert [run.stated.condition for run in runs] == ["M0", "M2"]
    made = carrying(V2, {b"targ": text_tag(WHOLE), b"CIED": bytes(80)})
    entry, offset, length = tag_at(made, b"targ")
    shared = changed(made, tag_at(made, b"CIED")[0], b"CIED" + made[entry + 4 : entry + 12])
    assert len(read_readings(write(shared, "mine.icc"))) == 1 and offset + length < len(made)


DAMAGED: dict[str, tuple[bytes, str]] = {
    "cut": (packed_tag(cxf(SPECTRA))[:-300], "compressed data that end too early"),
    "changed": (
        changed(packed_tag(cxf(SPECTRA)), 300, bytes(40)),
        "compressed data that are damaged",
    ),
    "packed twice": (packed_tag(zlib.compress(cxf(SPECTRA).encode())), "data packed twice"),
    "a profile inside": (packed_tag(V2), "data packed twice"),
    "cut text": (text_tag(WHOLE[:-40]), "END_DATA of the data begun in line"),
    "entities": (
        text_tag(cxf(SPECTRA).replace("<cc:CxF", '<!DOCTYPE x [<!ENTITY a "aaaa">]><cc:CxF', 1), b"utf8"),
        "a DOCTYPE",
    ),
}


@pytest.mark.parametrize("kind", DAMAGED)
def test_damaged_data_are_named_and_the_profile_stays_usable(write: Write, kind: str) -> None:
    data, told = DAMAGED[kind]
    made = carrying(V2, {b"CxFd": data})
    with pytest.raises(FileProblem) as caught:
        read_readings(write(made, "mine.icc"))
    assert str(caught.value).startswith("mine.icc, tag “CxFd”") and told in str(caught.value)
    assert open_profile(made, "mine.icc").contents.device_space == "RGB"
    beside = carrying(V2, {b"CxFd": data, b"targ": text_tag(WHOLE)})
    (run,) = read_readings(write(beside, "mine.icc"))
    assert any("left out: mine.icc, tag “CxFd”" in remark and told in remark for remark in run.remarks)


def test_what_unpacks_without_end_is_refused(write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(inside, "MOST_UNPACKED", 2**20)
    bomb = packed_tag(cxf(SPECTRA).encode() + b" " * 2**21)
    assert len(bomb) < 10_000
    with pytest.raises(FileProblem, match="Found: more than 1 MB when unpacked"):
        read_readings(write(carrying(V2, {b"CxFd": bomb}), "mine.icc"))


def test_a_profile_without_readings_is_refused_with_what_it_says(write: Write) -> None:
    with pytest.raises(FileProblem, match="readings it was made from"):
        read_readings(write(V2, "mine.icc"))
    named = carrying(V2, {b"targ": text_tag("ICCHDAT A registered set")})
    with pytest.raises(FileProblem, match="only the name of a registered set of data, “A registered set”"):
        read_readings(write(named, "mine.icc"))
    with pytest.raises(FileProblem, match=r"the end of the file inside it\. Nothing was taken in\."):
        read_readings(write(V2[:140], "mine.icc"))


def test_what_a_profile_was_made_from_was_not_printed_through_it(write: Write) -> None:
    with pytest.raises(UsageProblem, match="Leave --managed out"):
        read_readings(write(carrying(V2, WAYS["text in targ"]), "mine.icc"), Supplied(printed_as="managed"))


def test_a_glance_tells_profiles_with_readings_from_others(write: Write) -> None:
    for way, tags in WAYS.items():
        assert inside.carries(write(carrying(V2, tags), f"{way}.icc"), 0.0, 0), way
    named = carrying(V2, {b"targ": text_tag("ICCHDAT A registered set" + " " * 60)})
    for content in (V2, V2[:200], b"", b"CGATS.17\n" * 90, named, in_tag(V2, b"cprt", 0, b"zzzz")):
        path = write(content, f"other {len(content)}.icc")
        assert not inside.carries(path, 0.0, len(content))
    assert not inside.carries(Path("not there.icc"), 0.0, 0)
