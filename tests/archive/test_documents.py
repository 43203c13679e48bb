"""Documents are kept byte for byte, once, under the name of what is in them."""

import hashlib
import random

import pytest

from evaluation.archive import documents
from evaluation.archive.connection import open_archive
from evaluation.errors import ArchiveProblem


@pytest.mark.parametrize(
    "content",
    [b"", b"\0", b"text\r\n", bytes(range(256)) * 300, random.Random(4).randbytes(50_000)],
    ids=["empty", "NUL", "text", "every byte", "noise"],
)
def test_what_is_kept_comes_back_byte_for_byte(archive, content):
    digest = documents.keep(archive, "source", "strip.txt", content)
    assert digest == hashlib.sha256(content).hexdigest()
    assert documents.fetch(archive, digest) == ("strip.txt", content)


def test_a_document_is_kept_once_under_its_first_name(archive):
    first = documents.keep(archive, "sheet", "a.toml", b"same")
    assert documents.keep(archive, "sheet", "b.toml", b"same") == first
    assert documents.fetch(archive, first)[0] == "a.toml"


def test_text_takes_less_room_than_it_had(archive):
    digest = documents.keep(archive, "source", "", b"380 0.0512 0.0511\n" * 5000)
    stored = archive.row("SELECT length(content), size FROM document WHERE digest = ?", (digest,))
    assert stored[1] == 90_000
    assert stored[0] < 9_000


def test_what_is_there_already_needs_no_writing(archive):
    digest = documents.keep(archive, "sheet", "", b"map")
    with open_archive(archive.path, read_only=True) as look:
        assert documents.keep(look, "sheet", "", b"map") == digest
        with pytest.raises(ArchiveProblem):
            documents.keep(look, "sheet", "", b"another")


def test_a_missing_document_is_told_in_a_sentence(archive):
    with pytest.raises(ArchiveProblem, match=r"Expected: the document 000000000000\. Found: none"):
        documents.fetch(archive, "0" * 64)


def test_a_damaged_document_is_told_in_a_sentence(archive):
    archive.connection.execute("INSERT INTO document VALUES (?, 'sheet', '', 4, x'0102')", ("b" * 64,))
    with pytest.raises(ArchiveProblem, match="Found: a damaged one"):
        documents.fetch(archive, "b" * 64)
