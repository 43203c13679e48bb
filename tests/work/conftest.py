"""The demo's archive, for tests of verbs that need sessions with readings and grades."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from evaluation.archive.connection import open_archive
from evaluation.work.bench import Bench
from fixtures import demo


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """As built; copied before anything is written."""
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    demo.build(path)
    return path


@pytest.fixture
def bench(made: Path, tmp_path: Path) -> Iterator[Bench]:
    path = tmp_path / "room.db"
    shutil.copyfile(made, path)
    with open_archive(path) as opened:
        yield Bench(opened)
