"""An answer rests on the session as it is, whatever the screen had at hand when the key was pressed."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.session import Grade, PrintingCondition, Session
from evaluation.work import log
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.look import look
from evaluation.work.take_in import read


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_archive(tmp_path / "room.db", create=True) as archive:
        bench = Bench(archive)
        begin.begin(bench, PrintingCondition(paper="Sallowfell Lustre 247"), {})
        look.start(bench, 1)
        yield bench


@pytest.fixture
def elsewhere(bench: Bench) -> Iterator[Bench]:
    """Another program on the same archive."""
    with open_archive(bench.archive.path) as archive:
        yield Bench(archive)


def at_hand(bench: Bench) -> Session:
    return log.session(bench, 1)


def test_a_session_at_hand_is_not_read_again(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    before, read_anew = at_hand(bench), []
    real = sessions._from_log
    monkeypatch.setattr(sessions, "_from_log", lambda *given: read_anew.append(given) or real(*given))
    step = look.answer(bench, 1, "neutral", "steps", Grade(4), at_hand=before)
    look.answer(bench, 1, "neutral", "ramp", Grade(4), at_hand=step.session)
    assert read_anew == [], "neither before the answer nor after it"
    assert len(at_hand(bench).viewings[0].answers) == 2


def test_a_session_that_changed_elsewhere_is_read_again_after_the_answer(
    bench: Bench, elsewhere: Bench
) -> None:
    look.answer(bench, 1, "neutral", "steps", Grade(4))
    look.answer(elsewhere, 1, "neutral", "ramp", Grade(3))
    step = look.answer(bench, 1, "neutral", "steps", Grade(2))
    assert step.session == at_hand(elsewhere)
    assert len(step.session.viewings[0].answers) == 2


def test_a_viewing_begun_elsewhere_gets_the_answer(bench: Bench, elsewhere: Bench) -> None:
    before = at_hand(bench)
    look.start(elsewhere, 1, observer="observer 2")
    step = look.answer(bench, 1, "neutral", "steps", Grade(4), at_hand=before)
    assert [len(viewing.answers) for viewing in step.session.viewings] == [0, 1]


def test_what_was_shown_elsewhere_marks_the_answer(bench: Bench, elsewhere: Bench) -> None:
    before = at_hand(bench)
    read.reveal(elsewhere, 1, ["neutral"])
    step = look.answer(bench, 1, "neutral", "steps", Grade(4), at_hand=before)
    assert step.session.viewings[0].answers["neutral", "steps"].after_reveal


def test_faults_seen_elsewhere_are_known_to_the_next_list(bench: Bench, elsewhere: Bench) -> None:
    before = at_hand(bench)
    look.fault(elsewhere, 1, "shadow", "haze")
    step = look.faults(bench, 1, "shadow", (), at_hand=before)
    assert step.session.viewings[0].faults == () and "shadow" in step.session.viewings[0].faultless
