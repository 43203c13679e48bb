"""What the app remembers for its user: column mappings, the last folder. Standard library only."""

import contextlib
import json
from typing import Any

from evaluation.archive.connection import Archive
from evaluation.archive.moments import as_json, encodable


def remember(archive: Archive, subject: str, value: Any) -> None:
    """Keep plain JSON under a subject, in place of what was there; None forgets it."""
    with archive.joined() as connection:
        if value is None:
            connection.execute("DELETE FROM habit WHERE subject = ?", (encodable(subject),))
        else:
            connection.execute(
                "INSERT INTO habit (subject, value) VALUES (?, ?) "
                "ON CONFLICT (subject) DO UPDATE SET value = excluded.value",
                (encodable(subject), as_json(value)),
            )


def recall(archive: Archive, subject: str) -> Any:
    """What was kept under a subject; None when there is nothing, or it cannot be read."""
    row = archive.row("SELECT value FROM habit WHERE subject = ?", (encodable(subject),))
    with contextlib.suppress(ValueError, TypeError):
        return None if row is None else json.loads(row[0])
    return None
