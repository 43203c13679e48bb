"""The finished demo with a triangle test, and as tables: made once."""

import shutil
from pathlib import Path

import pytest

from evaluation.archive import triangles
from evaluation.archive.connection import open_archive
from evaluation.work.bench import utc_now
from evaluation.work.export.export import export_all


@pytest.fixture(scope="session")
def room(finished_archive: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The archive. Not to be written to."""
    path = Path(shutil.copy(finished_archive, tmp_path_factory.mktemp("room") / "room.db"))
    with open_archive(path) as archive:
        lying = ((1, 6, 1), (6, 6, 1))
        test = triangles.begin(
            archive, observer="Anton", region="skin", prints=(1, 6), shown=lying, now=utc_now()
        )
        triangles.name_odd(archive, test.id, 0, "middle", utc_now())
        triangles.name_odd(archive, test.id, 1, "left", utc_now())
    return path


@pytest.fixture(scope="session")
def tables(room: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder; CSV and JSON. Not to be written to."""
    folder = tmp_path_factory.mktemp("export") / "tables"
    (done,) = export_all([room], folder)
    assert done.problem is None and done.sessions == 6
    return folder
