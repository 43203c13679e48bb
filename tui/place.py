"""Where things live on this machine: the archive, the settings."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from evaluation import unfinished
from evaluation.archive.connection import open_archive
from evaluation.archive.place import writable
from evaluation.plain_text import visible
from evaluation.work.bench import Bench
from evaluation.work.describe.begin import read_text


def archive_path(named: Path | None) -> Path:
    """The archive in use: named, else DRYDOWN_ARCHIVE, else archive.db in the user's data folder."""
    if named is not None:
        return named
    if told := os.environ.get("DRYDOWN_ARCHIVE"):
        return Path(told)
    return data_folder() / "archive.db"


def data_folder() -> Path:
    from platformdirs import user_data_path  # 11 ms, and only where nothing was named

    return Path(user_data_path("drydown", appauthor=False))


def config_folder() -> Path:
    from platformdirs import user_config_path

    return Path(user_config_path("drydown", appauthor=False))


def settings_path() -> Path:
    """Where the user's weighing.toml is looked for: DRYDOWN_SETTINGS, else the user's config folder."""
    return Path(os.environ.get("DRYDOWN_SETTINGS") or config_folder() / "weighing.toml")


def settings_text() -> str | None:
    """The user's weighing.toml as text, or None when there is none."""
    path = settings_path()
    return read_text(path, "The settings were not read.") if path.exists() else None


@contextmanager
def bench(named: Path | None, *, create: bool = False) -> Iterator[Bench]:
    """An open bench on the archive in use, closed afterwards. `create` makes the archive where none is.

    Where the archive cannot be written to it is opened to be looked at. What would have to be recorded is
    refused; otherwise it is said at the end that nothing was.
    """
    path = archive_path(named)
    if create:
        path.parent.mkdir(parents=True, exist_ok=True)
    there = path.exists()
    looking = there and not writable(path)
    unfinished.clear(path.absolute().parent)
    with open_archive(path, create=create and not there, read_only=looking) as archive:
        yield Bench(archive, settings_text())
        if looking:
            words = f"{path} cannot be written to: nothing of this is recorded there."
            print(visible(words), file=sys.stderr)
