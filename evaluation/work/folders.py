"""Folders as a person looks through them for a file: what lies there, and where they looked last."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from evaluation.archive import habits
from evaluation.errors import UsageProblem
from evaluation.system_words import unread
from evaluation.work.bench import Bench

_HABIT: Final = "folder of "
_MOST: Final = 500  # files that are listed, the newest


@dataclass(frozen=True, slots=True)
class FolderItem:
    """A folder, or a file that is judged by its ending alone."""

    path: Path
    folder: bool
    modified: datetime
    size: int


def listed(folder: Path, endings: Sequence[str]) -> tuple[FolderItem, ...]:
    """Folders by name, then the files with one of these endings, newest first; nothing hidden.

    Raises UsageProblem for a folder that cannot be listed.
    """
    try:
        found = [each for path in folder.iterdir() if (each := _listed(path, endings)) is not None]
    except OSError as problem:
        told = unread(problem)
        raise UsageProblem(
            "The folder was not listed.", where=str(folder), found=told.found, remedy=told.remedy
        ) from None
    folders = sorted((each for each in found if each.folder), key=lambda each: each.path.name.casefold())
    files = sorted((each for each in found if not each.folder), key=lambda each: each.modified, reverse=True)
    return (*folders, *files[:_MOST])


def _listed(path: Path, endings: Sequence[str]) -> FolderItem | None:
    """A file that is gone by now, or may not be read, is left out."""
    if path.name.startswith("."):
        return None
    try:
        told, folder = path.stat(), path.is_dir()
    except OSError:
        return None
    if not folder and path.suffix.lower() not in endings:
        return None
    return FolderItem(path, folder, datetime.fromtimestamp(told.st_mtime, UTC), told.st_size)


def last(bench: Bench, kind: str) -> Path:
    """Where files of a kind were looked for last; else where the program was started."""
    kept = habits.recall(bench.archive, _HABIT + kind)
    path = Path(kept) if isinstance(kept, str) else Path.cwd()
    return path if path.is_dir() else Path.cwd()


def remember(bench: Bench, kind: str, folder: Path) -> None:
    """Look there next time. An archive that can only be looked at remembers nothing."""
    if not bench.archive.read_only:
        habits.remember(bench.archive, _HABIT + kind, str(folder.absolute()))
