"""`drydown neutrality`: the record as text and as JSON, with the gate and lamps of one's own."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.commands.conftest import unpromised

Drydown = Callable[..., Any]


def test_the_json_has_the_promised_shape(demo_room: Drydown) -> None:
    found = demo_room("neutrality", 3, 2, "--json")
    assert found.code == 0 and found.err == ""
    assert unpromised("neutrality", found.json) == []


def test_the_shape_has_what_other_programs_count_on(demo_room: Drydown) -> None:
    for one in demo_room("neutrality", 2, 6, "--json").json["sessions"]:
        assert {"id", "steps", "thirds", "crossover", "black", "lights", "worst_light"} <= set(one)
        assert set(one["thirds"]) == {"light", "middle", "dark"}
        assert bool(one["steps"]) == (one["why_not"] == "")


def test_modes_come_first_with_the_sentence_to_quote(demo_room: Drydown) -> None:
    ran = demo_room("neutrality", 2, 3)
    assert ran.code == 0 and ran.err == ""
    lines = ran.out.splitlines()
    assert lines[0] == "Side by side"
    assert re.match(r"middle third +none 0\.8 dE00 +yellow 3\.\d dE00, large", lines[4])
    assert ran.out.index("On Sallowfell Baryta 322, by the worst third") < ran.out.index(
        "Steps, black to paper"
    )
    assert ran.out.count("Steps, black to paper") == 2
    assert "\n2 against 3: cast of the highlights alike (0.4 dCh), cast of the mid-tones large" in ran.out
    assert len(re.findall(r"^grey L\* \d+ .*left out$", ran.out, re.MULTILINE)) == 4
    assert "near L* 3" in ran.out and "stress" in ran.out


def test_one_print_has_no_side_by_side(demo_room: Drydown) -> None:
    ran = demo_room("neutrality", 3)
    assert ran.out.startswith(
        "Neutrality, Sallowfell Baryta 322, session 3, driver's black and white, against "
    )
    assert "Side by side" not in ran.out
    assert "Session 3 is neutral from grey L* 95 to grey L* 5" in ran.out


def test_a_lamp_and_an_illuminant_may_be_named(demo_room: Drydown, tmp_path: Path) -> None:
    lamp = tmp_path / "gallery.csv"
    lamp.write_text("".join(f"{nm},1\n" for nm in range(380, 781, 5)))
    ran = demo_room("neutrality", 2, "--lamp", lamp, "--light", "D65")
    assert re.search(r"^gallery +\d\.\d", ran.out, re.MULTILINE)
    assert re.search(r"^D65 +\d\.\d", ran.out, re.MULTILINE)


def test_a_lamp_that_is_none_ends_in_one_sentence(demo_room: Drydown, tmp_path: Path) -> None:
    lamp = tmp_path / "gallery.csv"
    lamp.write_text("no spectrum\n")
    ran = demo_room("neutrality", 2, "--lamp", lamp)
    assert (ran.code, ran.out) == (1, "") and "gallery.csv" in ran.err and ran.err.count("\n") == 1
    named = demo_room("neutrality", 2, "--light", "moonlight")
    assert named.code == 2 and "“moonlight”" in named.err


def test_the_tone_wanted_may_be_said(demo_room: Drydown) -> None:
    ran = demo_room("neutrality", 2, "--tone", "like 3")
    assert "against the tone of session 3" in ran.out.splitlines()[0]
    assert (
        "Session 2 is barely warm where warm was wanted" in demo_room("neutrality", 2, "--tone", "warm").out
    )


def test_a_session_without_readings_is_a_use_that_cannot_be_answered(demo_room: Drydown) -> None:
    ran = demo_room("neutrality", 6)
    assert (ran.code, ran.out) == (2, "")
    assert "No neutrality record was made." in ran.err and "Nothing was read in session 6 yet" in ran.err
    both = demo_room("neutrality", 2, 6)
    assert both.code == 0 and "Nothing was read in session 6 yet." in both.out


def test_what_is_not_graded_is_shown_on_record_only(demo_room: Drydown) -> None:
    """A new session with session 3's condition and readings, and no look at it."""
    new = demo_room("new", "--like", 3)
    assert new.code == 0, new.err
    number = new.out.strip()
    strip = next((Path(__file__).parents[2] / "fixtures" / "readings").glob("baryta-mono-driver*"))
    assert demo_room("read", number, strip, "--managed").code == 0
    hidden = demo_room("neutrality", number)
    assert hidden.code == 2 and "stay out of sight" in hidden.err and "grey L*" not in hidden.err
    shown = demo_room("neutrality", number, "--reveal")
    assert shown.code == 0 and "Steps, black to paper" in shown.out
