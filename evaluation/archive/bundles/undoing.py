"""A merge taken back: the archive as it was before, from the copy that was kept beside it."""

import contextlib
import json
import re
import sqlite3
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Final

from evaluation.archive import births, sqlite
from evaluation.archive.bundles.nouns import COPIES, Merging
from evaluation.archive.connection import Archive
from evaluation.archive.moments import moment, stamped
from evaluation.archive.upkeep import Progress, copy, new_file
from evaluation.errors import UsageProblem

NOT_UNDONE: Final = "Nothing was undone."
# Whatever was entered, removed, weighed for the first time or merged since makes it another text.
_STANDING: Final = """
    SELECT json_array((SELECT count(*) FROM birth), (SELECT max(touched) FROM session),
                      (SELECT count(removed) FROM session), (SELECT count(*) FROM session),
                      (SELECT count(*) FROM document))"""


def keep(
    archive: Archive, connection: sqlite3.Connection, files: Sequence[str], now: datetime, progress: Progress
) -> str:
    """Copy the archive as it was before the open transaction, and record the merge; the copy's name.

    `progress` is told of the pages of the copy, and may raise to stop.
    """
    spare = _free_name(archive.path)
    with (
        new_file(spare) as draft,
        contextlib.closing(
            sqlite.connect(archive.path, "mode=ro")
        ) as before,  # sees nothing of the transaction
    ):
        copy(before, draft, progress)
    (standing,) = connection.execute(_STANDING).fetchone()
    connection.execute(
        "INSERT INTO merging (at, files, kept, standing) VALUES (?, ?, ?, ?)",
        (stamped(now), json.dumps(list(files)), spare.name, standing),
    )
    return spare.name


def last(archive: Archive) -> Merging | None:
    """The newest merge that was not taken back; None without one."""
    row = archive.row("SELECT at, files, kept FROM merging ORDER BY id DESC LIMIT 1")
    if row is None:
        return None
    return Merging(moment(row[0]), tuple(json.loads(row[1])), archive.path.with_name(row[2]))


def undo(archive: Archive) -> Merging:
    """Put back what was there before the newest merge, while nothing was entered since; the copy stays.

    Raises UsageProblem where there is no merge, something was entered since, or the copy is gone;
    ArchiveProblem where the archive may not be written.
    """
    with archive.transaction() as connection:  # waits for others, and refuses an archive to look at
        found = last(archive)
        if found is None:
            raise UsageProblem(NOT_UNDONE, expected="a merge", found="an archive without one")
        (before,) = archive.rows("SELECT standing FROM merging ORDER BY id DESC LIMIT 1")[0]
        if before != connection.execute(_STANDING).fetchone()[0]:
            raise UsageProblem(
                NOT_UNDONE,
                where=str(archive.path),
                expected="nothing entered since the merge",
                found="something that would be lost",
                remedy=f"The archive as it was is in {found.kept.name}; open it with --archive.",
            )
        if not found.kept.is_file():
            raise UsageProblem(
                NOT_UNDONE,
                where=str(found.kept),
                expected="the copy that the merge kept",
                found="nothing of that name",
                remedy=f"Copies are kept of the last {COPIES} merges. Put it back beside the archive.",
            )
    with (
        sqlite.in_words(archive.path),
        contextlib.closing(sqlite.connect(found.kept, "mode=ro")) as kept,
    ):
        kept.backup(archive.connection)  # one step: all pages or none
    archive.at_hand = None
    return found


def clear(archive: Archive) -> None:
    """Remove all but the newest copies; one that somebody has worked in since is an archive of its own."""
    for _, spare in sorted(_copies(archive.path))[:-COPIES]:
        with contextlib.suppress(OSError):
            if not sqlite.log_of(spare).exists() and not births.is_home(spare):
                spare.unlink()


def _copies(path: Path) -> list[tuple[int, Path]]:
    """What is kept beside an archive: of `prints.db` number 1 is `prints.before-merge-1.db`."""
    named = re.compile(re.escape(f"{path.stem}.before-merge-") + "([0-9]{1,9})" + re.escape(path.suffix))
    beside = [(named.fullmatch(each.name), each) for each in path.absolute().parent.iterdir()]
    return [(int(match[1]), each) for match, each in beside if match]


def _free_name(path: Path) -> Path:
    """The number after the last, which is given to no other copy while that one lies there."""
    last = max((number for number, _ in _copies(path)), default=0)
    return path.with_name(f"{path.stem}.before-merge-{last + 1}{path.suffix}")
