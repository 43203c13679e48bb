"""An archive with one empty session in it, and short ways to speak to it."""

from datetime import UTC, datetime

import numpy as np
import pytest

from evaluation.archive import documents, entries, sessions
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft
from evaluation.readings.run import PatchRef, Run, Stated
from evaluation.session import Summary

NOW = datetime(2024, 3, 2, 14, 0, tzinfo=UTC)


def brief(session):
    """A summary simple enough to see through."""
    done = len(session.viewing.answers) if session.viewing else 0
    return Summary(paper=session.condition.paper, printer=session.condition.printer, looked=done)


@pytest.fixture
def now():
    return NOW


@pytest.fixture
def summarise():
    return brief


@pytest.fixture
def archive(tmp_path):
    with open_archive(tmp_path / "prints.db", create=True) as archive:
        yield archive


@pytest.fixture
def sheet_digest(archive):
    return documents.keep(archive, "sheet", "colour.toml", b"format = 1\n")


@pytest.fixture
def session_id(archive, sheet_digest):
    return sessions.create(archive, sheet_digest=sheet_digest, now=NOW)


@pytest.fixture
def viewing_id(archive, session_id):
    order = ["neutral", "skin"]
    return sessions.start_viewing(archive, session_id, "observer 1", "full", order, NOW, brief).id


@pytest.fixture
def say(archive, session_id):
    def say(*drafts: Draft):
        return entries.say(archive, session_id, drafts, NOW, brief)

    return say


@pytest.fixture
def undo(archive, session_id):
    return lambda viewing=None: entries.undo(archive, session_id, viewing, NOW, brief)


@pytest.fixture
def redo(archive, session_id):
    return lambda viewing=None: entries.redo(archive, session_id, viewing, NOW, brief)


@pytest.fixture
def load(archive, session_id):
    return lambda: sessions.load(archive, session_id)


@pytest.fixture
def a_run():
    """Two patches read as spectra, with everything a file may state."""
    return Run(
        patches=(PatchRef("A1", "paper", 1), PatchRef("A2", "", 2)),
        stated=Stated("M1", "D50", "2", "45/0", "white", "hand-held", NOW, frozenset({"backing"})),
        printed_as="managed",
        wavelengths=np.arange(380.0, 731.0, 10.0),
        spectra=np.linspace(0.02, 0.93, 72).reshape(2, 36),
        lab=np.array([[95.1, 0.4, -5.2], [50.0, 0.0, 0.0]]),
        xyz=np.array([[87.0, 90.0, 80.0], [17.8, 18.4, 15.2]]),
        device=np.array([[1.0, 1.0, 1.0], [0.5, 0.5, 0.5]]),
        device_space="RGB",
        part="table 1",
        source_name="strip.txt",
        reader="iso28178 1",
        rounding=0.01,
        remarks=("Line 4 is empty.",),
    )
