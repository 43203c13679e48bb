"""The last line: what it says, and that a click on a key presses it."""

import pytest


async def test_a_click_on_a_key_presses_it_and_beside_it_does_nothing(booth, session) -> None:
    async with booth((100, 30)) as at:
        await at.press("enter")
        line = at.keys
        assert line.startswith("1 done   2 not done"), line
        await at.pilot.click(offset=(1 + line.index("2 not done"), 29))
        await at.settle()
        assert at.saved.endswith("Machine settled after moving: not done.")
        await at.pilot.click(offset=(95, 29))
        await at.settle()
        assert at.here.startswith(" ▸ nozzle check clean"), at.here


@pytest.mark.usefixtures("session")
async def test_the_line_follows_what_may_be_pressed(booth) -> None:
    async with booth() as at:
        assert at.keys.startswith("Enter open")
        await at.press("g")
        assert at.keys.startswith("1-6 step") and "n new like this" not in at.keys, at.keys
        await at.press("escape")
        assert at.keys.startswith("Enter open")
