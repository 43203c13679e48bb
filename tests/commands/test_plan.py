"""`drydown plan`: begun from a form, entered and told; a week as table, CSV and calendar."""

import csv
import io
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from evaluation.archive.connection import open_archive
from evaluation.archive.loans import load
from evaluation.planning import typed
from evaluation.telling import calendar
from evaluation.work.bench import Bench
from evaluation.work.plan import doing, entering
from evaluation.work.plan.plan import plan

Drydown = Callable[..., Any]


@pytest.fixture
def form(drydown: Drydown, tmp_path: Path) -> Path:
    """Three weeks from today, open day and night, so that there always is something to do now."""
    today = datetime.now().astimezone().date()
    text = drydown("plan", "--template").out
    said = {"printer": "Merrowby 24", "first": today.isoformat(), "days": "every day", "opens": "0:00"}
    said |= {"last": (today + timedelta(days=20)).isoformat(), "closes": "23:59"}
    said |= {"name": "Rag; 293, é", "settings": "fine, finest"}
    for key, value in said.items():
        text = text.replace(f'\n{key} = ""', f'\n{key} = "{value}"')
    path = tmp_path / "loan.toml"
    path.write_text(text, "utf-8")
    return path


def test_a_loan_by_commands_alone(drydown: Drydown, form: Path, tmp_path: Path) -> None:
    refused = drydown("plan")
    assert refused.code == 1 or refused.code == 2
    assert drydown("plan", "--from", form).out == "Loan 1: saved. `drydown plan` says what comes next.\n"
    told = drydown("plan").out
    assert told.startswith("Merrowby 24, back on ")
    assert "Rag; 293, é, fine" in told and "From 200 replays" in told
    assert "latest start" in told and "1 paper x 2 settings: " in told
    assert drydown("plan", "--done", "charts", "Rag; 293, é", "fine").code == 0
    assert "dry " in drydown("plan").out
    assert drydown("plan", "--undo").code == 0
    assert "dry " not in drydown("plan", "--week").out
    assert drydown("plan", "--undo").err.startswith("Nothing is left to undo")
    assert drydown("plan", "--session", "Rag; 293, é", "fine").out == "1\n"
    assert drydown("plan", "--paper", "Matt: fine").code == 0
    assert drydown("plan", "--leave-out", "Matt", "fine").code == 0
    assert drydown("plan", "--lost", "tomorrow").code == 0
    assert drydown("plan", "--ask", "Does it curl?", "--who", "a reader").out == "Question 1: saved.\n"
    assert drydown("plan", "--answer", "1", "Hardly.").code == 0
    assert "1. Does it curl? (a reader)" in drydown("plan", "--questions").out
    found = drydown("plan", "--json").json
    assert [job["state"] for job in found["jobs"] if job["paper"] == "Matt"] == ["left out"]
    assert found["jobs"][0]["session"] == 1 and 0 <= found["likely"][0]["share"] <= 1
    for words, sentence in {
        ("--loan", "4"): "No loan goes by 4.",
        ("--done", "wash", "Matt", "fine"): "Expected: a step: charts",
        ("--done", "charts", "Matt", "best"): "Expected: a paper and a setting of the plan",
        ("--answer", "x", "y"): "Expected: the number of a question",
        ("--week", "--days", "0"): "--days. Expected: 1 to 400 days. Found: 0.",
        ("--lost", "2031-01-01"): "Expected: a day of the loan",
    }.items():
        problem = drydown("plan", *words)
        assert problem.code == 2 and sentence in problem.err and len(problem.err.splitlines()) == 1
    rows = list(csv.DictReader(io.StringIO(drydown("plan", "--csv").out)))
    assert rows[0]["step"] == "print charts" and rows[0]["paper"] == "Rag; 293, é"
    assert drydown("plan", "--calendar", tmp_path / "week.ics").code == 0
    assert drydown("plan", "--calendar", tmp_path / "week.ics").code == 2  # it is not written over


def test_the_calendar_is_read_back_by_another_library(tmp_path: Path) -> None:
    """RFC 5545: moments in UTC, texts escaped and folded, the same name for the same step ever after."""
    now = datetime(2026, 3, 2, 9, tzinfo=UTC)
    name = "Räg, very heavy; with a name that is longer than any line of a calendar may ever be \\ 293"
    with open_archive(tmp_path / "room.db", create=True) as archive:
        bench = Bench(archive, now=lambda: now)
        about = entering.About("Merrowby, 24", "", date(2026, 3, 2), date(2026, 3, 6), days=tuple(range(7)))
        loan = entering.begin_loan(bench, about, [typed.paper_typed(f"{name}: fine, finest")])
        doing.done(bench, loan, name, "fine", "charts", now - timedelta(hours=1))
        loan = load(archive) or loan
        text = calendar.calendar(plan(bench, loan), now)
        again = calendar.calendar(plan(bench, loan), now)
    assert text == again
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n")) and "\n" not in text.replace(
        "\r\n", ""
    )
    events = Calendar.from_ical(text).walk("VEVENT")
    assert "SUMMARY:Merrowby\\, 24 goes back" in text
    by_name = {str(event["SUMMARY"]): event for event in events}
    assert len({str(event["UID"]) for event in events}) == len(events)
    dry = by_name[f"Dry: {name}, fine"]
    assert dry["DTSTART"].dt == now + timedelta(hours=23) and str(dry["STATUS"]) == "CONFIRMED"
    back = by_name["Merrowby, 24 goes back"]
    assert (back["DTSTART"].dt, back["DTEND"].dt) == (date(2026, 3, 6), date(2026, 3, 7))
    print_it = by_name[f"Print the charts: {name}, finest"]
    assert print_it["DTEND"].dt - print_it["DTSTART"].dt == timedelta(minutes=20)
    assert str(print_it["STATUS"]) == "TENTATIVE"
