"""The demo's archive, for tests of verbs that need sessions with readings and grades."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from evaluation.archive.connection import open_archive
from evaluation.work.bench import Bench


@pytest.fixture
def bench(demo_archive: Path, tmp_path: Path) -> Iterator[Bench]:
    path = tmp_path / "room.db"
    shutil.copyfile(demo_archive, path)
    with open_archive(path) as opened:
        yield Bench(opened)
