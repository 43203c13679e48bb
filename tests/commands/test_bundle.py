"""A second observer: a bundle there and back, from the command line, on two machines' worth of archives."""

import re

import pytest

from evaluation.archive.connection import open_archive
from evaluation.entry import Draft
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.log import say, session
from tests.commands.conftest import unpromised
from tests.conftest import quick_form


@pytest.mark.long
def test_a_second_observer_looks_and_both_are_weighed(demo_room, tmp_path):
    drydown, theirs = demo_room, tmp_path / "theirs.db"
    out = drydown("bundle", 4, "-o", tmp_path / "to.bundle")
    assert (out.code, out.err) == (0, "") and out.out.startswith("Session 4 in ")
    assert drydown("bundle", 4, "-o", tmp_path / "to.bundle").code == 1  # never over a file
    looked_at = drydown("list", "--archive", tmp_path / "to.bundle", "--json").json["sessions"]
    assert len(looked_at) == 1
    came = drydown("merge", tmp_path / "to.bundle", "--archive", theirs, "--json").json
    assert unpromised("merge", came) == [] and came["sessions"][0]["new"] and not came["differences"]
    number = came["sessions"][0]["session"]
    with open_archive(theirs, read_only=True) as archive:
        bench = Bench(archive)
        form = quick_form(sheet_of(bench, session(bench, number)), 3).replace("observer 1", "Berta")
    (tmp_path / "grades.toml").write_text(form, "utf-8")
    sent = (tmp_path / "to.bundle").read_bytes()
    into_it = drydown("grade", 1, "--from", tmp_path / "grades.toml", "--archive", tmp_path / "to.bundle")
    assert into_it.code == 2 and "can only be looked at. Merge it into" in into_it.err
    assert (tmp_path / "to.bundle").read_bytes() == sent
    assert drydown("grade", number, "--from", tmp_path / "grades.toml", "--archive", theirs).code == 0
    made = drydown("bundle", number, "-o", tmp_path / "back.bundle", "--archive", theirs, "--json").json
    assert unpromised("bundle", made) == [] and made["also"] == []
    asked = drydown("merge", tmp_path / "back.bundle", "--dry-run")
    assert asked.out.splitlines()[-1] == "Nothing was merged yet."
    assert re.search(r"^4 +Brackmoor Rag 293 +known +1 +0 +\d+ +0  by Berta", asked.out, re.MULTILINE), (
        asked.out
    )
    assert "observer 2" not in drydown("weigh", 4, "--observers").out
    assert "put" in drydown("merge", tmp_path / "back.bundle").out.splitlines()[-1]
    assert drydown("merge", tmp_path / "back.bundle").out.startswith("Nothing new")
    assert "observer 2" in drydown("weigh", 4, "--observers").out
    assert drydown("check").code == 0
    undone = drydown("merge", "--undo", "--json").json
    assert unpromised("merge", undone) == [] and undone == {"undone": ["back.bundle"]}
    assert "observer 2" not in drydown("weigh", 4, "--observers").out


def test_what_differs_is_listed_and_chosen(demo_room, tmp_path):
    drydown, theirs = demo_room, tmp_path / "theirs.db"
    drydown("bundle", 4, "-o", tmp_path / "to.bundle")
    drydown("merge", tmp_path / "to.bundle", "--archive", theirs)
    for place, value in ((tmp_path / "archive.db", "Stack"), (theirs, "Rack")):
        with open_archive(place) as archive:
            number = 4 if value == "Stack" else 1
            say(Bench(archive), number, [Draft("condition", "drying", value)])
    drydown("bundle", 1, "-o", tmp_path / "back.bundle", "--archive", theirs)
    merged = drydown("merge", tmp_path / "back.bundle")
    assert "Entered differently here and elsewhere" in merged.out and "Rack" in merged.out
    listed = drydown("merge", "--json").json
    assert unpromised("merge", listed) == []
    (one,) = listed["differences"]
    assert [each["value"] for each in one["versions"]] == ["Rack", "Stack"] and one["subject"] == "drying"
    assert drydown("merge", "--choose", 1, 3).code == 2 and drydown("merge", "--choose", 2, 1).code == 2
    assert drydown("merge", "--choose", 1, 1).out == "Nothing is left to choose.\n"
    with open_archive(tmp_path / "archive.db", read_only=True) as archive:
        assert session(Bench(archive), 4).condition.drying == "Rack"
    assert drydown("merge", "--undo").code == 2  # the choice would be lost
    assert drydown("merge", tmp_path / "back.bundle", "--undo").code == 2
