"""Documents: texts and files kept byte for byte, named by what is in them. Standard library only."""

import contextlib
import hashlib
import zlib
from collections.abc import Mapping
from typing import Final, Literal

from evaluation.archive.connection import Archive
from evaluation.archive.moments import encodable
from evaluation.archive.sqlite import DAMAGED
from evaluation.errors import ArchiveProblem
from evaluation.plain_text import quoted

DocumentKind = Literal["sheet", "settings", "profile", "source", "picture", "appendix"]

# Level 1: an ISO 28178 table shrinks to under half; level 6 takes seven times as long for little more.
_LEVEL = 1
_CALLED: Final[Mapping[str, str]] = {
    "sheet": "map",
    "settings": "tables",
    "profile": "profile",
    "source": "file of readings",
    "picture": "photograph",
    "appendix": "appendix",
}


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
    row = archive.row("SELECT kind, name, content FROM document WHERE digest = ?", (digest,))
    if row is None:
        raise _lost(archive, f"the document {digest[:12]}", "none")
    kind, name, packed = row
    with contextlib.suppress(zlib.error, TypeError):
        content = zlib.decompress(packed)
        if digest_of(content) == digest:
            return name, content
    raise _lost(archive, f"the {called(kind, name, digest)}", "a damaged one")


def called(kind: str, name: object, digest: object) -> str:
    """A document as a person may know it: profile “lustre.icc” (document 0123456789ab)."""
    words = (_CALLED.get(kind, "file"), quoted(str(name)) if name else "", f"(document {str(digest)[:12]})")
    return " ".join(word for word in words if word)


def newest(archive: Archive, kind: DocumentKind, most: int) -> tuple[str, ...]:
    """Digests of the documents of a kind that sessions use as their sheet, newest session first."""
    found = archive.rows(
        "SELECT digest FROM document JOIN session ON session.sheet = document.digest WHERE kind = ? "
        "GROUP BY digest ORDER BY max(session.id) DESC LIMIT ?",
        (kind, most),
    )
    return tuple(str(digest) for (digest,) in found)


def _lost(archive: Archive, expected: str, found: str) -> ArchiveProblem:
    return ArchiveProblem(
        "It cannot be shown.", where=str(archive.path), expected=expected, found=found, remedy=DAMAGED[1]
    )
