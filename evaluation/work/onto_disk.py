"""Files that somebody asked for: whole or not at all, and none overwritten unasked."""

import os
import tempfile
from pathlib import Path

from evaluation.errors import DrydownError, UsageProblem
from evaluation.system_words import unwritten


def put(path: Path, rendered: bytes, what: str, *, make_folder: bool = False) -> None:
    """Write a file so that its name holds all of it or what it held before.

    `what` did not happen when it fails: the outcome that DrydownError names.
    """
    try:
        if make_folder:
            path.parent.mkdir(exist_ok=True)
        descriptor, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        unfinished = Path(name)
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(rendered)
                file.flush()
                os.fsync(file.fileno())
            unfinished.chmod(0o666 & ~_umask())
            unfinished.replace(path)
        except BaseException:
            unfinished.unlink(missing_ok=True)
            raise
    except OSError as problem:
        raise not_written(path, problem, what) from None


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
            remedy="Name another file, or say that it may be overwritten.",
        )


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
