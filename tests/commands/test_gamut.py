"""`drydown gamut`: the share of a picture first, the volume last, what cannot be told said."""

import re
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from fixtures.printer import icc
from tests.cases import some_now
from tests.commands.conftest import unpromised
from tests.profile.probes import lut16, profile

ROOM = Path(icc.__file__).parents[1] / "profiles"
LUSTRE, RAG = ROOM / "sallowfell-lustre-finest.icc", ROOM / "brackmoor-rag-fine.icc"

Drydown = Callable[..., Any]


@pytest.fixture
def harbour(tmp_path: Path) -> Path:
    """Half of it lies in every gamut, half in none."""
    pixels = np.empty((80, 80, 3), np.uint8)
    pixels[:, :40], pixels[:, 40:] = (150, 130, 120), (0, 255, 0)
    path = tmp_path / "harbour.png"
    Image.fromarray(pixels).save(path)
    return path


def test_the_share_of_the_picture_comes_first_and_the_volume_last(drydown: Drydown, harbour: Path) -> None:
    ran = drydown("gamut", LUSTRE, "--picture", harbour)
    assert ran.code == 0 and ran.err == ""
    assert ran.out.startswith("Share of this picture outside: harbour.png (sRGB, assumed)")
    lines = ran.out.splitlines()
    assert re.match(r"sallowfell-lustre-finest.icc +50\.0 %", lines[2])
    assert lines[-1].startswith("The volume tells nothing")
    assert ran.out.index("C*ab by hue") < ran.out.index("largest C*") < ran.out.index("volume")
    assert "by hue: green 50.0 %" in ran.out


@pytest.mark.long
def test_the_outline_is_one_bar_every_ten_degrees(drydown: Drydown) -> None:
    bars = re.findall(r"[▁▂▃▄▅▆▇█·]{36}", drydown("gamut", LUSTRE, RAG).out)
    assert len(bars) == 6 and any("█" in bar for bar in bars)


def test_the_json_has_the_promised_shape_and_the_numbers_of_the_text(drydown: Drydown, harbour: Path) -> None:
    found = drydown("gamut", LUSTRE, "--picture", harbour, "--json").json
    assert unpromised("gamut", found) == []
    (one,) = found["profiles"]
    assert found["growth"] is None
    assert one["share"]["outside"] == 0.5 and one["share"]["too_dark"] is None
    assert len(one["slices"][0]["chroma"]) == len(one["slices"][0]["hues"]) == 36
    assert sum(one["share"]["families"].values()) == pytest.approx(0.5)


@pytest.mark.long
def test_without_compensation_darkness_counts_apart(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "night.png"
    Image.new("RGB", (40, 40), (0, 0, 0)).save(path)
    share = drydown("gamut", RAG, "--picture", path, "--without-compensation", "--json").json["profiles"][0]
    assert (share["share"]["too_dark"], share["share"]["outside"]) == (1.0, 0.0)
    assert "too dark" in drydown("gamut", RAG, "--picture", path, "--without-compensation").out


def test_without_a_picture_the_surfaces_are_told(drydown: Drydown) -> None:
    ran = drydown("gamut", LUSTRE)
    assert ran.code == 0 and "Share" not in ran.out and ran.out.startswith("C*ab by hue")


def test_a_damaged_profile_ends_in_one_sentence(drydown: Drydown, tmp_path: Path) -> None:
    cut = tmp_path / "cut.icc"
    cut.write_bytes(LUSTRE.read_bytes()[:5000])
    ran = drydown("gamut", LUSTRE, cut)
    assert ran.code == 1 and ran.out == "" and ran.err.startswith("cut.icc. ") and ran.err.count("\n") == 1


def test_a_picture_that_is_none_ends_in_one_sentence(drydown: Drydown, tmp_path: Path) -> None:
    ran = drydown("gamut", LUSTRE, "--picture", tmp_path / "none.tif")
    assert ran.code == 1 and "The picture was not used." in ran.err


def test_the_picture_is_read_before_the_profile_answers_for_it(drydown: Drydown, harbour: Path) -> None:
    picture = drydown("gamut", LUSTRE, "--picture", harbour, "--json").json["picture"]
    assert (picture["file"], picture["width"], picture["space"]) == ("harbour.png", 80, "sRGB, assumed")
    assert any("4 by 4" in remark for remark in picture["remarks"])


@pytest.mark.long
def test_where_outside_begins_is_a_setting(drydown: Drydown, harbour: Path, tmp_path: Path) -> None:
    (tmp_path / "no-weighing.toml").write_text("[thresholds]\ngamut_distance = 90\n", "utf-8")
    ran = drydown("gamut", LUSTRE, "--picture", harbour)
    assert "Outside: further than 90 dE*ab from the profile's surface." in ran.out
    found = drydown("gamut", LUSTRE, "--picture", harbour, "--json").json
    assert found["outside_from"] == 90 and found["profiles"][0]["share"]["outside"] == 0


@pytest.mark.long
def test_on_a_terminal_it_counts_and_leaves_no_trace(
    drydown: Drydown, harbour: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    ran = drydown("gamut", LUSTRE, RAG, "--picture", harbour)
    told = ran.err.split("\r")
    assert ran.code == 0 and any(line.startswith("  0 %  harbour.png") for line in told)
    assert any("brackmoor-rag-fine.icc" in line for line in told) and told[-1] == "\x1b[K"


@pytest.mark.parametrize("at", some_now(range(5), 0, 3))
def test_it_can_be_stopped_at_every_step(
    drydown: Drydown, harbour: Path, at: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl+C, wherever it comes."""
    calls: list[str] = []

    def tell(done: int, total: int, what: str) -> None:
        calls.append(what)
        if len(calls) > at:
            raise KeyboardInterrupt

    monkeypatch.setattr("tui.out.Out.progress", lambda self: tell)
    ran = drydown("gamut", LUSTRE, RAG, "--picture", harbour)
    assert (ran.code, ran.out, ran.err) == (130, "", "Stopped. Nothing was left half done.\n")
    assert len(calls) == at + 1


@pytest.mark.parametrize("kind", ["noise", "one colour"])
def test_a_damaged_profile_is_told_at_once(drydown: Drydown, tmp_path: Path, kind: str) -> None:
    values = np.random.default_rng(3).integers(0, 65536, 9**4 * 3) if kind == "noise" else [30_000] * 48
    table = [int(value) for value in values]
    tags = {b"wtpt": b"XYZ " + struct.pack(">4x3i", 55000, 57000, 46000)}
    for digit in (b"0", b"1"):
        tags[b"A2B" + digit] = lut16(4, 9 if kind == "noise" else 2, table, 3)
        tags[b"B2A" + digit] = lut16(3, 2, [39321] * 32, 4)
    path = tmp_path / "odd.icc"
    path.write_bytes(profile(tags))
    ran = drydown("gamut", path)
    if kind == "noise":
        assert ran.code == 1 and ran.err.startswith("odd.icc. Expected: a table whose colours join up")
    else:
        assert ran.code == 1 and "with colours that differ. Found: one colour throughout." in ran.err


@pytest.mark.long
def test_two_settings_are_stepped_through_in_words_json_csv_and_a_picture(
    drydown: Drydown, tmp_path: Path, harbour: Path
) -> None:
    fine = ROOM / "sallowfell-lustre-fine.icc"
    found = drydown("gamut", fine, LUSTRE, "--picture", harbour, "--json").json
    assert unpromised("gamut", found) == []
    growth = found["growth"]
    assert growth["basis"] == "promised" and growth["picture"] == "harbour.png"
    (step,) = growth["steps"]
    assert step["newly_held"] == 0.0 and step["mean"] == pytest.approx(0.36, abs=0.02)
    assert growth["settings"][1]["surface_colours"]["all"] > growth["settings"][0]["surface_colours"]["all"]
    picture = tmp_path / "slices.svg"
    ran = drydown("gamut", fine, LUSTRE, "--csv", "--plot", picture)
    assert ran.code == 0 and len(ran.out.splitlines()) == 19
    assert ran.out.startswith("base,setting,hue,third,growth_dE")
    drawn = picture.read_text("utf-8")
    assert all(f">{hue}<" in drawn for hue in ("red", "yellow", "green", "cyan", "blue", "magenta"))
    again = drydown("gamut", fine, LUSTRE, "--plot", picture)
    assert again.code == 2 and "--replace" in again.err


def test_what_cannot_be_stepped_through_is_refused_before_any_work(drydown: Drydown, tmp_path: Path) -> None:
    assert "neither" in drydown("gamut").err
    assert "both" in drydown("gamut", LUSTRE, "--sessions", "1", "2").err
    one = drydown("gamut", LUSTRE, "--csv")
    assert one.code == 2 and "two profiles or more" in one.err
    assert ".svg" in drydown("gamut", LUSTRE, RAG, "--plot", tmp_path / "slices.png").err
