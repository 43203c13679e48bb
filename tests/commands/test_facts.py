"""`drydown facts`: stated from a form or the line, shown with how they were come by."""

from pathlib import Path

from tests.commands.conftest import Drydown, unpromised


def test_facts_are_stated_and_shown_with_what_they_leave_open(demo_room: Drydown, tmp_path: Path) -> None:
    form = tmp_path / "facts.toml"
    template = demo_room("facts", "--template").out
    form.write_text(template.replace('time    = ""', 'time = "12.5 12.9 12.6"'), "utf-8")
    ran = demo_room("facts", "1", "--from", form, "--say", "noise: printing 57 dB, quiet 38 dB")
    assert ran.code == 0 and "Time for a print: 12.6 min" in ran.out
    assert "Noise: 19 dB above the quiet room\n" in ran.out and "No sound level" in ran.out
    assert "Whiteness and tint: W10 111" in ran.out and "none with what a maker states" in ran.out
    found = demo_room("facts", "6", "--json").json
    assert unpromised("facts", found) == []
    noise, waste = found["stated"]  # of the printer, in another session of it
    assert (noise["session"], noise["value"], noise["unit"]) == (1, 19.0, "dB")
    assert waste["id"] == "waste"


def test_a_fact_that_cannot_be_meant_is_refused_and_nothing_is_kept(demo_room: Drydown) -> None:
    ran = demo_room("facts", "6", "--say", "colour: 12")
    assert ran.code == 2 and "Facts are ink, time" in ran.err
    ran = demo_room("facts", "6", "--say", "ink: inks 10")
    assert ran.code == 2 and "also step, used and area" in ran.err
    assert demo_room("facts").code == 2
