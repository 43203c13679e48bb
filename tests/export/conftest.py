"""The finished demo as tables, made once."""

from pathlib import Path

import pytest

from evaluation.work.export.export import export_all


@pytest.fixture(scope="session")
def tables(finished_archive: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder; CSV and JSON. Not to be written to."""
    folder = tmp_path_factory.mktemp("export") / "tables"
    (done,) = export_all([finished_archive], folder)
    assert done.problem is None and done.sessions == 6
    return folder
