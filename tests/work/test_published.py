"""What was written up keeps its numbers; when they would be others now, it is said what, and why."""

import json
import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from evaluation.appendix.case import Choices
from evaluation.archive import documents, sessions
from evaluation.archive.connection import open_archive
from evaluation.judgement import combine
from evaluation.judgement import weigh as judgement
from evaluation.judgement.rules import RULES
from evaluation.session import Grade
from evaluation.work.bench import Bench
from evaluation.work.describe import begin, fields
from evaluation.work.look import look
from evaluation.work.weigh import weigh
from evaluation.work.write_up import published, write_up

NOW = datetime(2026, 11, 24, 14, 2, tzinfo=UTC)
SHORT = Choices("summary")
SOFTER = "[thresholds]\neye_spread = 0.8\ninstrument_spread = 0.9\n"


@pytest.fixture
def bench(finished: Path) -> Iterator[Bench]:
    with open_archive(finished) as archive:
        yield Bench(archive, now=lambda: NOW)


@pytest.fixture(scope="module")
def written_archive(finished_archive: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """With sessions 4 and 2 written up, each by itself."""
    folder = tmp_path_factory.mktemp("written")
    with open_archive(shutil.copy(finished_archive, folder / "demo.db")) as archive:
        for session in (4, 2):
            write_up.write(Bench(archive, now=lambda: NOW), (session,), folder / f"{session}.md", SHORT)
    return folder / "demo.db"


@pytest.fixture
def written(written_archive: Path, tmp_path: Path) -> Iterator[Bench]:
    """A month after that."""
    with open_archive(shutil.copy(written_archive, tmp_path / "written.db")) as archive:
        yield Bench(archive, now=lambda: NOW + timedelta(days=30))


def other_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    """As a later version might weigh: the eye's grades count for more."""
    monkeypatch.setattr(judgement, "RULES", RULES + 1)
    combined = combine.combined
    monkeypatch.setattr(
        combine, "combined", lambda eye, instrument, tables: replace(combined(eye, eye, tables))
    )


def test_the_weighing_is_kept_as_it_was_published(written: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    made = weigh.weigh(written, 4)
    other_rules(monkeypatch)
    look.answer(written, 4, "skin", "overall", Grade(1))
    assert weigh.weigh(written, 4) != made
    kept = published.newest(written, 4)
    assert kept is not None and (kept.at, kept.weighing) == (NOW, made)


def test_nothing_is_said_while_the_numbers_are_those_that_were_published(written: Bench) -> None:
    assert published.since(written, weigh.weigh(written, 4)) == ""
    assert published.since(written, weigh.weigh(written, 1)) == "", "the demo wrote it up"
    assert published.since(written, weigh.weigh(written, 5)) == "", "never written up"


@pytest.mark.long
def test_other_rules_that_give_the_same_numbers_are_not_worth_a_word(
    written: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(judgement, "RULES", RULES + 1)
    assert published.since(written, weigh.weigh(written, 4)) == ""


def test_other_rules_are_named_with_what_was_and_what_is(
    written: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    other_rules(monkeypatch)
    told = published.since(written, weigh.weigh(written, 4))
    assert told.startswith("Session 4 was written up on 24 Nov 2026, 14:02 UTC with other results: ")
    assert "highlight detail 4.5, now 4.0" in told
    assert told.endswith(f"Why: the rules of weighing have changed (version {RULES}, now {RULES + 1}).")


@pytest.mark.long
def test_other_settings_are_named(written: Bench) -> None:
    softer = Bench(written.archive, SOFTER, written.now)
    told = published.since(softer, weigh.weigh(softer, 4))
    assert "highlight detail 4.5, now " in told
    assert told.endswith("Why: the settings have changed (eye spread and instrument spread).")


def test_an_answer_given_later_is_named(written: Bench) -> None:
    look.answer(written, 4, "skin", "overall", Grade(1))
    told = published.since(written, weigh.weigh(written, 4))
    assert "skin tones 4.5, now without a grade" in told
    assert told.endswith("Why: its answers, its readings or its description have changed.")


@pytest.mark.long
def test_a_named_session_that_changed_is_named(bench: Bench, tmp_path: Path) -> None:
    begin.say_condition(bench, 2, "profile_digest", None)
    fields.say_field(bench, 2, "tone_wanted", "like session 3")
    write_up.write(bench, (2,), tmp_path / "2.md", SHORT)
    look.start(bench, 3, observer="a guest")  # its scale waits for a grade: no tone can be taken from it
    told = published.since(bench, weigh.weigh(bench, 2))
    assert told.endswith("Why: a print that it names has changed (session 3).")


@pytest.mark.long
def test_the_next_appendix_says_it_and_the_one_after_has_no_need_to(
    written: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other_rules(monkeypatch)
    told = published.since(written, weigh.weigh(written, 4))
    page = write_up.write(written, (4,), tmp_path / "again.md", SHORT).path.read_text("utf-8")
    assert "Changed since the version before" in page and told in page.replace("\\", "")
    assert published.since(written, weigh.weigh(written, 4)) == ""
    assert write_up.appendix(written, (4,), SHORT).changes == ()


@pytest.mark.long
def test_an_appendix_of_several_says_it_of_each(written: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """Though these were never written up together before."""
    other_rules(monkeypatch)
    changes = write_up.appendix(written, (4, 2), SHORT).changes
    assert [change.partition(" was")[0] for change in changes] == ["Session 4", "Session 2"]


@pytest.mark.long
def test_the_earlier_page_stays_as_it_was(
    written: Bench, written_archive: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = written_archive.with_name("4.md")
    before = page.read_bytes()
    other_rules(monkeypatch)
    weigh.weigh(written, 4)
    (digest,) = sessions.load(written.archive, 4).written
    assert documents.fetch(written.archive, digest)[1] == before == page.read_bytes()


def test_what_was_kept_and_is_lost_is_not_made_up(written: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    other_rules(monkeypatch)
    monkeypatch.setattr(documents, "fetch", lambda archive, digest: ("", json.dumps([digest]).encode()))
    assert published.newest(written, 4) is None


@pytest.mark.long
def test_an_archive_that_can_only_be_looked_at_says_it_too(
    written: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other_rules(monkeypatch)
    told = published.since(written, weigh.weigh(written, 4))
    written.archive.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    copy = Path(shutil.copy(written.archive.path, tmp_path / "copy.db"))
    with open_archive(copy, read_only=True) as archive:
        bench = Bench(archive, now=written.now)
        assert published.since(bench, weigh.weigh(bench, 4)) == told != ""
