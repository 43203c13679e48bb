"""A copy of the archive, made while others go on working."""

from pathlib import Path

from evaluation.archive import held
from evaluation.archive.connection import Archive
from evaluation.archive.upkeep import NOT_COPIED, copy, new_file


def backup(archive: Archive, file: Path) -> int:
    """Copy the archive as it stands to a new file, while others may go on working; its size in bytes.

    Raises ArchiveProblem when something is there already, or nothing can be written there; UsageProblem for
    a name of the archive's own.
    """
    held.refuse(file, NOT_COPIED)
    with new_file(file) as draft, archive.snapshot():
        copy(archive.connection, draft)
    return file.stat().st_size
