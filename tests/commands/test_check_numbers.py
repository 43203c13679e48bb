"""`drydown check --numbers`: a session's colours held against colour-science."""

from collections.abc import Callable
from typing import Any

from tests.commands.conftest import unpromised

Drydown = Callable[..., Any]


def test_it_says_how_far_the_two_are_apart_and_where(demo_room: Drydown) -> None:
    drydown = demo_room
    ran = drydown("check", "--numbers", 2)
    assert (ran.code, ran.err) == (0, "")
    assert "CIELAB of spectra, D50" in ran.out and "They agree" in ran.out
    found = drydown("check", "--numbers", 2, "--json")
    assert found.json["agree"] and found.json["session"] == 2
    assert unpromised("check", found.json) == []
    nothing = drydown("check", "--numbers", 6)
    assert (nothing.code, nothing.out) == (2, "") and "nothing with a colour was read" in nothing.err
    assert drydown("check", "--numbers", 99).code == 2
