"""What keeps an archive, and what was written from it, in good order: checks, and a copy."""

from collections.abc import Callable
from pathlib import Path

from evaluation.archive import backup as copies
from evaluation.archive import health
from evaluation.archive.health import Health
from evaluation.work.bench import Bench

Progress = Callable[[int, int, str], None]  # done, in all, what is being done; may raise to stop


def check(bench: Bench, progress: Progress | None = None) -> Health:
    """Look at everything in the archive. Raises what `progress` raises to stop."""
    return health.check(bench.archive, progress)


def backup(bench: Bench, file: Path, progress: Progress | None = None) -> int:
    """Copy the archive to a new file; its size in bytes. Raises ArchiveProblem or UsageProblem."""
    return copies.backup(bench.archive, file, progress)


def appendix(file: Path) -> str:
    """Whether an appendix is as it was written, in a sentence. Raises FileProblem."""
    from evaluation.appendix.unchanged import check_file  # what reads PDF files

    return check_file(file).what
