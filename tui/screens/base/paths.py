"""Paths as people write them."""

from pathlib import Path

from rich.cells import cell_len

from evaluation.plain_text import visible


def short(path: Path, room: int = 1000) -> str:
    """A path as people write it, with ~ for their own folder; its name alone where there is no room."""
    try:
        below = path.absolute().relative_to(Path.home())
        told = "~/" + visible(str(below)) if below.parts else "~"
    except (ValueError, RuntimeError):
        told = visible(str(path.absolute()))
    return told if cell_len(told) <= room else visible(path.name)


def documents() -> Path:
    """Where a person looks for files: the folder of documents, or the one the app was started in."""
    from platformdirs import user_documents_path  # 11 ms, and only where a file is written

    folder = Path(user_documents_path())
    return folder if folder.is_dir() else Path.cwd()
