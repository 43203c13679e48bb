"""The list of digests that a bundle carries, and whether what is in it still agrees with them."""

import hashlib
import json
import sqlite3
from dataclasses import astuple, dataclass
from typing import Final

from evaluation.archive.bundles import records
from evaluation.archive.bundles.records import Holdings

Digests = dict[tuple[str, str], str]  # (session, rounds or document; its name) -> sha256

_HEAD: Final = "made, origin, drydown, with_names, with_pictures"


@dataclass(frozen=True, slots=True)
class BundleFacts:
    """Where a bundle comes from and what was left out of it. `made` as the archive keeps moments."""

    made: str
    origin: str
    drydown: str
    with_names: bool = True
    with_pictures: bool = True


def close(connection: sqlite3.Connection, about: BundleFacts) -> None:
    """Write the list of digests into a finished bundle, in an open transaction."""
    found = _worked_out(connection, _all(connection))
    connection.executemany(
        "INSERT INTO bundle_digest VALUES (?, ?, ?)", [(*key, digest) for key, digest in found.items()]
    )
    connection.execute(
        f"INSERT INTO bundle (one, {_HEAD}, seal) VALUES (1, ?, ?, ?, ?, ?, ?)",
        (*astuple(about), _seal(about, found)),
    )


def about(connection: sqlite3.Connection) -> BundleFacts | None:
    """What a bundle says of itself; None for an archive."""
    row = connection.execute(f"SELECT {_HEAD} FROM bundle").fetchone()
    return None if row is None else BundleFacts(row[0], row[1], row[2], bool(row[3]), bool(row[4]))


def broken(connection: sqlite3.Connection, said: BundleFacts) -> str | None:
    """What does not agree with its digest, as a noun phrase; None where all does.

    Documents are looked at when they are taken out. Raises sqlite3.Error, ValueError.
    """
    kept = {(what, name): digest for what, name, digest in connection.execute("SELECT * FROM bundle_digest")}
    (seal,) = connection.execute("SELECT seal FROM bundle").fetchone()
    if seal != _seal(said, kept):
        return "a list of digests that was changed"
    found = _worked_out(connection, _all(connection))
    for (what, name), digest in found.items():
        if kept.get((what, name)) != digest:
            return f"{what} {name[:12]} changed since".replace("  ", " ")
    lost = kept.keys() - found.keys()
    return f"{len(lost)} of its parts missing" if lost else None


def _all(connection: sqlite3.Connection) -> Holdings:
    return records.read(connection, [number for (number,) in connection.execute("SELECT id FROM session")])


def _worked_out(connection: sqlite3.Connection, held: Holdings) -> Digests:
    """Documents go by their own digests, which are checked against their content when they are taken out."""
    documents = connection.execute("SELECT digest FROM document")
    return records.digests(held) | {("document", digest): digest for (digest,) in documents}


def _seal(about: BundleFacts, digests: Digests) -> str:
    lines = [*([*key, digest] for key, digest in sorted(digests.items())), list(astuple(about))]
    return hashlib.sha256(json.dumps(lines).encode()).hexdigest()
