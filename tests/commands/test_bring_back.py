"""Removed sessions on the command line: listed, and brought back at any time."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import open_archive
from evaluation.work import home
from evaluation.work.bench import Bench, utc_now

Drydown = Callable[..., Any]


@pytest.fixture
def three(drydown: Drydown, tmp_path: Path) -> Drydown:
    """Three sessions, of which 1 and 3 are removed."""
    condition = tmp_path / "condition.toml"
    condition.write_text('[condition]\npaper = "Sallowfell Lustre 247"\n', "utf-8")
    for _ in range(3):
        assert drydown("new", "--from", condition).code == 0
    with open_archive(tmp_path / "archive.db") as archive:
        # The last one removed is listed first, and both may fit into one step of the clock: a minute apart.
        home.remove(Bench(archive), 3)
        home.remove(Bench(archive, now=lambda: utc_now() + timedelta(minutes=1)), 1)
    return drydown


def test_what_was_removed_is_listed_apart(three: Drydown) -> None:
    assert [row["id"] for row in three("list", "--json").json["sessions"]] == [2]
    removed = three("list", "--removed", "--json").json["sessions"]
    assert [row["id"] for row in removed] == [1, 3]
    assert all(row["removed"] for row in removed)
    assert three("list").out.endswith("2 were removed: drydown list --removed.\n")
    assert "drydown bring-back and its number" in three("list", "--removed").out


def test_a_removed_session_is_brought_back(three: Drydown) -> None:
    refused = three("weigh", 3)
    assert refused.code != 0 and "`drydown bring-back 3` brings it back." in refused.err
    assert three("bring-back", 3).out == "Session 3 is back on the list.\n"
    assert three("bring-back", 1, "--json").json == {"sessions": [1]}
    assert [row["id"] for row in three("list", "--json").json["sessions"]] == [3, 2, 1]
    assert three("list", "--removed").out == "No session was removed.\n"


def test_several_come_back_together_or_none(three: Drydown) -> None:
    ran = three("bring-back", 1, 2, 3)
    assert ran.code == 2 and "Session 2 is on the list: there is nothing to bring back." in ran.err
    assert [row["id"] for row in three("list", "--removed", "--json").json["sessions"]] == [1, 3]
    assert three("bring-back", 3, 1).out == "Sessions 3 and 1 are back on the list.\n"


def test_a_number_that_never_was_is_refused(three: Drydown) -> None:
    assert three("bring-back", 9).code == 2


def test_an_empty_list_does_not_say_that_nothing_was_begun(three: Drydown, tmp_path: Path) -> None:
    with open_archive(tmp_path / "archive.db") as archive:
        home.remove(Bench(archive), 2)
    assert three("list").out == "No session is on the list. 3 were removed: drydown list --removed.\n"
