"""A merge taken back: the archive as it was before, from the copy that was kept beside it."""

import contextlib
import json
import os
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from evaluation.archive import sqlite
from evaluation.archive.connection import Archive
from evaluation.archive.moments import moment, stamped
from evaluation.archive.upkeep import copy, new_file
from evaluation.errors import UsageProblem

NOT_UNDONE: Final = "Nothing was undone."
# Whatever was entered, removed, weighed for the first time or merged since makes it another text.
_STANDING: Final = """
    SELECT json_array((SELECT count(*) FROM birth), (SELECT max(touched) FROM session),
                      (SELECT count(removed) FROM session), (SELECT count(*) FROM session),
                      (SELECT count(*) FROM document))"""


@dataclass(frozen=True, slots=True)
class Merging:
    """The merge that `undo` would take back."""

    at: datetime
    files: tuple[str, ...]
    kept: Path


def keep(archive: Archive, connection: sqlite3.Connection, files: Sequence[str], now: datetime) -> str:
    """Copy the archive as it was before the open transaction, and record the merge; the copy's name."""
    spare = _free_name(archive.path)
    with (
        new_file(spare) as draft,
        contextlib.closing(
            sqlite.connect(archive.path, "mode=ro")
        ) as before,  # sees nothing of the transaction
    ):
        copy(before, draft)
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
                remedy=f"The archive as it was lies in {found.kept.name}; open it with --archive.",
            )
        if not found.kept.is_file():
            raise UsageProblem(
                NOT_UNDONE,
                where=str(found.kept),
                expected="the copy that the merge kept",
                found="nothing of that name",
                remedy="Put it back beside the archive.",
            )
    with (
        sqlite.in_words(archive.path),
        contextlib.closing(sqlite.connect(found.kept, "mode=ro")) as kept,
    ):
        kept.backup(archive.connection)  # one step: all pages or none
    archive.at_hand = None
    return found


def _free_name(path: Path) -> Path:
    """`prints.db` is kept as `prints.before-merge-1.db`, or the first free number after that."""
    number = 1
    while os.path.lexists(spare := path.with_name(f"{path.stem}.before-merge-{number}{path.suffix}")):
        number += 1
    return spare
