"""A copy of the archive, made while others go on working."""

from pathlib import Path

from evaluation.archive import births, held
from evaluation.archive.connection import Archive
from evaluation.archive.upkeep import NOT_COPIED, Progress, copy, new_file


def backup(archive: Archive, file: Path, progress: Progress | None = None) -> int:
    """Copy the archive as it stands to a new file, while others may go on working; its size in bytes.

    `progress(done, total, what)` counts the pages of the file and may raise to stop; then nothing is left.

    Raises ArchiveProblem when something is there already, or nothing can be written there; UsageProblem for
    a name of the archive's own.
    """
    held.refuse(file, NOT_COPIED)
    with new_file(file) as draft, archive.snapshot():
        copy(archive.connection, draft, progress)
        births.disown(draft)
    return file.stat().st_size
