"""The report on a lamp: by name and from a file, what is asked of it, what it leaves open."""

from pathlib import Path

import pytest

from evaluation.errors import FileProblem, UsageProblem
from evaluation.work import lamp


def asked(one: lamp.Lamp) -> dict[str, bool | None]:
    return {ask.what: ask.met for ask in one.asked if not ask.instead}


def test_a_light_that_meets_what_a_spectrum_can_tell() -> None:
    """CIE 015: FL8 is a broad-band lamp of 5000 K with Ra 95."""
    one = lamp.lamp("fl8")
    assert one.what == "fluorescent, broad-band"
    assert set(asked(one).values()) == {True}


def test_a_light_that_does_not() -> None:
    """CIE 015: FL10 is a narrow-band lamp of 5000 K with Ra 81: its white is right, its rendering is not."""
    assert list(asked(lamp.lamp("FL10")).values()) == [True, False, False]


def test_what_no_spectrum_tells_stays_open_and_says_what_does() -> None:
    open_ones = [ask for ask in lamp.lamp("D50").asked if ask.instead]
    assert {ask.what.split(",")[0] for ask in open_ones} == {
        "metamerism index",
        "illuminance for critical comparison",
        "illuminance for practical appraisal",
        "evenness",
        "surround",
    }
    assert all(ask.met is None and ask.found is None for ask in open_ones)


def test_no_limit_passes_for_confirmed() -> None:
    """They are recalled from the 2009 edition; a copy of the standard decides."""
    assert not any(ask.confirmed for ask in lamp.lamp("D50").asked)


def test_every_number_says_what_it_leaves_open() -> None:
    one = lamp.lamp("D50")
    assert set(lamp.document(one)["numbers"]) == set(lamp.TELLS_NOT)
    assert all(words.endswith(".") and len(words) < 90 for words in lamp.TELLS_NOT.values())


def test_a_coarse_or_short_spectrum_is_said(tmp_path: Path) -> None:
    file = tmp_path / "hall.csv"
    file.write_text("".join(f"{nm},1\n" for nm in range(400, 701, 10)))
    one = lamp.lamp(str(file))
    assert (one.light.name, one.what) == ("hall", "")
    assert "Stated from 400 to 700 nm" in one.remarks[0] and "steps of 10 nm" in one.remarks[1]
    assert one.value("ultraviolet") is None


def test_a_light_far_from_white_is_not_judged(tmp_path: Path) -> None:
    file = tmp_path / "green.csv"
    file.write_text("".join(f"{nm},{1 if 500 < nm < 560 else 0}\n" for nm in range(380, 781, 5)))
    one = lamp.lamp(str(file))
    assert "Too far from white" in one.remarks[-1]
    assert [ask.met for ask in one.asked[:3]] == [False, None, None]
    assert lamp.document(one)["rendering"] == []


def test_a_file_wins_over_a_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("A").write_text("".join(f"{nm},1\n" for nm in range(380, 781, 5)))
    assert lamp.lamp("A").what == ""


def test_what_is_neither_is_a_problem() -> None:
    with pytest.raises(UsageProblem, match=r"Found: “moonlight”.*`drydown lamp` lists all names"):
        lamp.lamp("moonlight")
    with pytest.raises(FileProblem, match=r"moonlight\.csv"):
        lamp.lamp("moonlight.csv")
