"""The views that people query with tools of their own (`migrations/0004.sql`): can they be read?"""

import sqlite3
from collections.abc import Iterator

from evaluation.archive.connection import Archive


def unreadable(archive: Archive) -> Iterator[str]:
    """A sentence for every view that cannot be read to its last row."""
    from sqlite_utils import Database  # brings numpy: never on the way to the first frame

    for view in Database(archive.connection).views:
        try:
            for _ in view.rows:
                pass
        except sqlite3.Error as error:
            yield f"The table {view.name} cannot be read: {error}."
