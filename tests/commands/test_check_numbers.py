"""`drydown check --numbers`: a session's colours held against colour-science."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
Drydown = Callable[..., Any]


def test_it_says_how_far_the_two_are_apart_and_where(demo_room: Drydown) -> None:
    drydown = demo_room
    ran = drydown("check", "--numbers", 2)
    assert (ran.code, ran.err) == (0, "")
    assert "CIELAB of spectra, D50" in ran.out and "They agree" in ran.out
    found = drydown("check", "--numbers", 2, "--json")
    assert found.json["agree"] and found.json["session"] == 2
    shape = re.search(r"### `drydown check --numbers SESSION --json`\s+```json\n(.*?)```", README, re.DOTALL)
    assert shape is not None
    promised = json.loads(shape[1])
    assert promised.keys() == found.json.keys()
    assert promised["numbers"][0].keys() == found.json["numbers"][0].keys()
    nothing = drydown("check", "--numbers", 6)
    assert (nothing.code, nothing.out) == (2, "") and "nothing with a colour was read" in nothing.err
    assert drydown("check", "--numbers", 99).code == 2
