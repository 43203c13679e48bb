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


def typed_path(text: str) -> Path:
    """The path that was typed. A whole one behind the folder that stood in the line already goes by itself:
    /home/anna//srv/readings is /srv/readings, unless /home/anna/srv is there.
    """
    path = _expanded(text.strip())
    for sign in ("//", "/~/"):
        _, found, after = text.strip().rpartition(sign)
        if found and not path.exists() and not path.parent.exists():
            return _expanded(f"{sign[1:]}{after}")
    return path


def _expanded(text: str) -> Path:
    try:
        return Path(text).expanduser()
    except RuntimeError:  # the folder of a user who is not known here
        return Path(text)


def documents() -> Path:
    """Where a person looks for files: the folder of documents, or the one the app was started in."""
    from platformdirs import user_documents_path  # 11 ms, and only where a file is written

    folder = Path(user_documents_path())
    return folder if folder.is_dir() else Path.cwd()
