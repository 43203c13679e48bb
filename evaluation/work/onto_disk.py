"""Files written for the user: whole or not at all, and never over another one unless told to."""

import contextlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from evaluation import unfinished
from evaluation.archive import held
from evaluation.errors import DrydownError, UsageProblem
from evaluation.system_words import unwritten

NO_PICTURE: Final = "No picture was written."


def put(path: Path, rendered: bytes, what: str) -> None:
    """Write a file so that its name holds all of it or what it held before.

    `what` did not happen when it fails: the outcome that DrydownError names.
    """
    put_all({path: rendered}, what)


def put_all(files: Mapping[Path, bytes], what: str) -> None:
    """Write several files: all of them lie on the disk before the first takes its name.

    A folder that is not there is made at the end, inside one that is. `what` as in `put`.
    """
    ready_for: dict[Path, Path] = {}
    made: list[Path] = []
    path = Path()
    try:
        for path, content in files.items():
            held.refuse(path, what)
            ready_for[path] = _unfinished(path, content)
        for path, ready in ready_for.items():
            if not path.parent.is_dir():
                path.parent.mkdir()
                made.append(path.parent)
            ready.replace(path)
    except BaseException as problem:
        for ready in ready_for.values():
            ready.unlink(missing_ok=True)
        for folder in made:
            with contextlib.suppress(OSError):  # something of ours took its name already, or of others
                folder.rmdir()
        if isinstance(problem, OSError):
            raise not_written(path, problem, what) from None
        raise


def _unfinished(path: Path, content: bytes) -> Path:
    """The content under a name of our own, on the disk for certain, beside where it is to lie."""
    ready = unfinished.beside(path if path.parent.is_dir() else path.parent)
    try:
        with ready.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        ready.unlink(missing_ok=True)
        raise
    return ready


def not_written(path: Path, problem: OSError, what: str) -> DrydownError:
    """The sentence for a file or folder that the system would not write."""
    found, remedy = unwritten(problem)
    return DrydownError(what, where=str(path), found=found, remedy=remedy)


def refuse_existing(path: Path, what: str, *, overwrite: bool) -> None:
    """Raise UsageProblem for a file that is there already, unless it may be overwritten."""
    if path.is_dir() or (path.exists() and not overwrite):
        raise UsageProblem(
            what,
            where=str(path),
            expected="a new file",
            found="a folder" if path.is_dir() else "one that is there already",
            remedy="Name another." if path.is_dir() else "Name another, or replace it with --replace.",
        )


def refuse_picture(path: Path, *, overwrite: bool) -> None:
    """Raise UsageProblem, before any work, for a picture that would not be written."""
    if path.suffix.lower() != ".svg":
        raise UsageProblem(
            NO_PICTURE, where=str(path), expected="a file ending in .svg", found=path.suffix or "no ending"
        )
    if not path.absolute().parent.is_dir():
        raise UsageProblem(
            NO_PICTURE, where=str(path), expected="a folder that is there", found="none of that name"
        )
    refuse_existing(path, NO_PICTURE, overwrite=overwrite)


def put_picture(path: Path, svg: str) -> None:
    """Write SVG text as a file of its own. Raises DrydownError when it cannot be written."""
    put(path, f'<?xml version="1.0" encoding="UTF-8"?>\n{svg}\n'.encode(), NO_PICTURE)
