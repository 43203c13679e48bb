"""Documents: texts and files kept byte for byte, named by what is in them. Standard library only."""

import hashlib
import zlib
from typing import Literal

from evaluation.archive.connection import Archive
from evaluation.archive.moments import encodable
from evaluation.errors import ArchiveProblem

DocumentKind = Literal["sheet", "settings", "profile", "source", "picture", "appendix"]

# Level 1: an ISO 28178 table shrinks to under half; level 6 takes seven times as long for little more.
_LEVEL = 1


def digest_of(content: bytes) -> str:
    """The name of a document: sha256 of its bytes, in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def keep(archive: Archive, kind: DocumentKind, name: str, content: bytes) -> str:
    """Keep a document, once however often it comes; its digest. The name it first came with stays."""
    digest = digest_of(content)
    if archive.row("SELECT 1 FROM document WHERE digest = ?", (digest,)) is not None:
        return digest
    packed = zlib.compress(content, _LEVEL)  # before the transaction: nobody waits for it
    values = (digest, kind, encodable(name), len(content), packed)
    with archive.joined() as connection:
        connection.execute(
            "INSERT INTO document (digest, kind, name, size, content) VALUES (?, ?, ?, ?, ?) "
            "ON CONFLICT (digest) DO NOTHING",
            values,
        )
    return digest


def fetch(archive: Archive, digest: str) -> tuple[str, bytes]:
    """Name and bytes of a kept document. Raises ArchiveProblem when it is missing or damaged."""
    row = archive.row("SELECT name, content FROM document WHERE digest = ?", (digest,))
    if row is None:
        raise _lost(archive, digest, "none")
    try:
        content = zlib.decompress(row[1])
    except (zlib.error, TypeError) as error:
        raise _lost(archive, digest, "a damaged one") from error
    if digest_of(content) != digest:
        raise _lost(archive, digest, "a damaged one")
    return row[0], content


def newest(archive: Archive, kind: DocumentKind, most: int) -> tuple[str, ...]:
    """Digests of the documents of a kind that sessions use as their sheet, newest session first."""
    found = archive.rows(
        "SELECT digest FROM document JOIN session ON session.sheet = document.digest WHERE kind = ? "
        "GROUP BY digest ORDER BY max(session.id) DESC LIMIT ?",
        (kind, most),
    )
    return tuple(str(digest) for (digest,) in found)


def _lost(archive: Archive, digest: str, found: str) -> ArchiveProblem:
    return ArchiveProblem(
        "It cannot be shown.",
        where=str(archive.path),
        expected=f"the document {digest[:12]}",
        found=found,
        remedy="Look at the archive with `drydown check`, or go back to a backup.",
    )
