"""The views that people query: they can only be read, and damage is left out or told."""

import sqlite3

import pytest
from sqlite_utils import Database

from evaluation.archive import (
    comparisons,
    documents,
    health,
    runs,
    session_list,
    sessions,
    weighings,
)
from evaluation.entry import Draft, encoded
from evaluation.session import ASIDE, Grade, YesNo

VIEWS = {"report_sessions", "report_grades", "report_readings", "report_findings", "report_comparisons"}
FINDING = (
    '{"region": "skin", "title": "Skin tones", "eye": {"grade": 4.5, "spread": 0.4}, "viewings": 2, '
    '"instrument": null, "agreement": "eye only", "combined": {"grade": 4.5, "spread": 0.4}}'
)
CELL = '[{"region": "skin", "difference": -0.5, "exceeds_repeatability": true, "word": "visible"}]'


def rows(archive, view):
    return list(Database(archive.connection)[view].rows)


@pytest.fixture
def settings(archive):
    return documents.keep(archive, "settings", "weighing.toml", b"")


def weighed(archive, number, settings, now, inputs="1", result=f'{{"findings": [{FINDING}]}}'):
    revision = archive.row("SELECT revision FROM session WHERE id = ?", (number,))[0]
    weighings.put(
        archive,
        number,
        settings,
        inputs=inputs * 64,
        rules=1,
        revision=revision,
        named=[],
        now=now,
        result=result,
        verdicts={"general": "accepted", "portrait": "undecided"},
        disagree=0,
    )


def test_they_are_there_and_nobody_writes_through_them(archive):
    assert set(Database(archive.connection).view_names()) >= VIEWS
    for view in VIEWS:
        for statement in (
            f"DELETE FROM {view}",
            f"UPDATE {view} SET session = 2",
            f"INSERT INTO {view} VALUES (1)",
        ):
            with pytest.raises(sqlite3.OperationalError, match=r"cannot modify|no such column"):
                archive.connection.execute(statement)


def test_a_session_shows_what_was_said_last_and_its_verdict(archive, session_id, say, settings, now):
    for value in ("pigment", "dye", None):
        say(Draft("condition", "quality", value), Draft("condition", "inks", value or "six"))
    weighed(archive, session_id, settings, now)
    (one,) = rows(archive, "report_sessions")
    assert (one["session"], one["inks"], one["quality"]) == (session_id, "six", None)
    assert (one["verdict"], one["disagree"]) == ("accepted", 0)
    say(Draft("condition", "made_for", "portrait"))
    assert rows(archive, "report_sessions")[0]["verdict"] is None, "out of date"


def test_what_is_off_the_list_is_in_none_of_them(
    archive, session_id, viewing_id, sheet_digest, say, a_run, settings, now
):
    (run,) = runs.keep(archive, session_id, [a_run], now)
    say(Draft("readings", str(run), "in"))
    say(Draft("answer", "skin/overall", encoded(Grade(4)), viewing_id))
    pair = session_id, sessions.create(archive, sheet_digest=sheet_digest, now=now)
    for number in pair:
        weighed(archive, number, settings, now)
    comparisons.put(archive, pair, settings, inputs="1" * 64, result=CELL)
    assert all(rows(archive, view) for view in VIEWS)
    session_list.remove(archive, session_id, now)
    left = {view: len(rows(archive, view)) for view in VIEWS}
    assert left == dict.fromkeys(VIEWS, 0) | {"report_sessions": 1, "report_findings": 1}, "of the other"


def test_a_grade_is_the_last_live_one_of_its_viewing(archive, session_id, viewing_id, say):
    for value in (2, 4):
        say(Draft("answer", "skin/overall", encoded(Grade(value)), viewing_id))
    say(Draft("answer", "skin/hue", encoded(YesNo(True)), viewing_id))
    say(Draft("answer", "shadow/overall", encoded(Grade(3)), viewing_id))
    say(Draft("answer", "shadow/overall", None, viewing_id))
    (one,) = rows(archive, "report_grades")
    assert (one["region"], one["question"], one["grade"], one["viewing"]) == ("skin", "overall", 4, 1)
    assert one["observer"] and one["after_reveal"] == one["set_aside"] == 0
    for reason, aside in (("tired", 1), (None, 0), ("in daylight", 1)):
        say(Draft("remark", ASIDE, reason, viewing_id))
        assert [row["set_aside"] for row in rows(archive, "report_grades")] == [aside]


def test_readings_that_are_in_are_listed_without_a_value(archive, session_id, say, a_run, now):
    first, second = runs.keep(archive, session_id, [a_run, a_run], now)
    say(Draft("readings", str(first), "in"), Draft("readings", str(second), "in"))
    say(Draft("readings", str(first), "out"))
    (one,) = rows(archive, "report_readings")
    assert (one["session"], one["run"], one["readings"]) == (session_id, second, len(a_run))
    assert not any(isinstance(value, bytes) for value in one.values())


def test_findings_are_those_of_the_newest_weighing_that_stands(archive, session_id, say, settings, now):
    weighed(archive, session_id, settings, now)
    (one,) = rows(archive, "report_findings")
    assert (one["region"], one["eye"], one["viewings"], one["instrument"], one["combined"]) == (
        "skin",
        4.5,
        2,
        None,
        4.5,
    )
    say(Draft("condition", "inks", "other"))
    assert rows(archive, "report_findings") == []


@pytest.mark.parametrize("side", [0, 1])
def test_a_comparison_stands_as_long_as_the_weighings_it_was_made_from(
    archive, session_id, sheet_digest, settings, now, side
):
    pair = session_id, sessions.create(archive, sheet_digest=sheet_digest, now=now)
    for number in pair:
        weighed(archive, number, settings, now)
    comparisons.put(archive, pair, settings, inputs="1" * 64, result=CELL)
    (one,) = rows(archive, "report_comparisons")
    assert ((one["a"], one["b"]), one["word"], one["difference"]) == (pair, "visible", -0.5)
    weighed(archive, pair[side], settings, now, inputs="2")
    assert rows(archive, "report_comparisons") == []
    comparisons.put(archive, pair, settings, inputs="2" * 64, result=CELL)
    assert len(rows(archive, "report_comparisons")) == 1


def test_a_damaged_result_is_left_out(archive, session_id, settings, now):
    weighed(archive, session_id, settings, now)
    archive.connection.execute("PRAGMA ignore_check_constraints = ON")
    archive.connection.execute("UPDATE weighing SET result = '{broken'")
    assert rows(archive, "report_findings") == []
    assert len(rows(archive, "report_sessions")) == 1


def test_check_reads_every_view_to_its_last_row(archive, viewing_id, say, monkeypatch):
    say(Draft("answer", "skin/overall", encoded(Grade(4)), viewing_id))
    assert health.check(archive).sound
    archive.connection.execute("PRAGMA ignore_check_constraints = ON")
    archive.connection.execute("DROP TRIGGER entry_is_immutable")
    archive.connection.execute("UPDATE entry SET value = '{broken' WHERE kind = 'answer'")
    views = [one for one in health.check(archive).troubles if one.startswith("The table report_")]
    assert len(views) == 1 and views[0].startswith("The table report_grades cannot be read: ")
    archive.connection.execute("UPDATE entry SET value = 'null' WHERE kind = 'answer'")
    monkeypatch.setitem(health._LOOKS, "views", lambda archive: iter(["unreadable"]))
    assert health.check(archive).troubles[-1] == "unreadable"
