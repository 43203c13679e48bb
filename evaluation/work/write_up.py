"""Write up: the appendix of one session or several, its true beginning, and its writing to a file."""

import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from evaluation.appendix import content, html, markdown, pdf
from evaluation.appendix.case import Case, Choices, Edition
from evaluation.appendix.document import Document
from evaluation.appendix.wording import utc
from evaluation.archive import documents, sessions
from evaluation.errors import DrydownError, UsageProblem
from evaluation.judgement import tables as judgement_tables
from evaluation.metrics.gather import gather
from evaluation.said import Draft
from evaluation.work import gate, read, weigh
from evaluation.work.bench import Bench, drydown_version, sheet_of
from evaluation.work.expected import expected_of
from evaluation.work.say import Step, say

NOT_WRITTEN = "No appendix was written."
WHOLE: Final = Choices()
ENDINGS: Final = (".html", ".md", ".pdf")


@dataclass(frozen=True, slots=True)
class Written:
    """An appendix on disk: where, the digest it is kept under, one step for each session, and a sentence."""

    path: Path
    digest: str
    steps: tuple[Step, ...]
    words: str


def appendix(bench: Bench, session_ids: Sequence[int], choices: Choices = WHOLE) -> Document:
    """The appendix of these sessions as they stand, through the gate; nothing is written or recorded."""
    if not session_ids:
        raise UsageProblem(NOT_WRITTEN, expected="a session", found="none", remedy="Name one or several.")
    edition = Edition(
        version=drydown_version(),
        written=utc(bench.now()),
        tables=weigh.tables(bench),
        shipped=judgement_tables.load_tables(),
        choices=choices,
    )
    cases = tuple(_case(bench, session_id) for session_id in dict.fromkeys(session_ids))
    return content.build(cases, edition)


def beginning(document: Document) -> str:
    """How the document begins, in plain text, one sentence group a line."""
    return content.beginning_words(document)


def write(
    bench: Bench,
    session_ids: Sequence[int],
    path: Path,
    choices: Choices = WHOLE,
    *,
    overwrite: bool = False,
) -> Written:
    """Write the appendix in the form that the file's ending asks for, whole or not at all.

    The same bytes are kept in the archive, and each session says that it was written up. Raises UsageProblem
    for another ending or a file that is there already, DrydownError when the file cannot be written.
    """
    refuse_path(path, overwrite=overwrite)
    document = appendix(bench, session_ids, choices)
    rendered, remark = _rendered(document, path.suffix.lower())
    put(path, rendered)
    told = f"Written: {path.name}. {remark}".strip()
    if bench.archive.read_only:
        words = f"{told} This archive can only be looked at, so it does not record that."
        return Written(path, documents.digest_of(rendered), (), words)
    digest = documents.keep(bench.archive, "appendix", path.name, rendered)
    steps = tuple(
        say(bench, session_id, [Draft("written", digest, {"file": path.name})])
        for session_id in dict.fromkeys(session_ids)
    )
    return Written(path, digest, steps, told)


def refuse_path(path: Path, *, overwrite: bool) -> None:
    """Raise UsageProblem, before any work, for a file that would not be written."""
    if path.suffix.lower() not in ENDINGS:
        raise UsageProblem(
            NOT_WRITTEN,
            where=str(path),
            expected=f"a file ending in {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}",
            found=path.suffix or "no ending",
        )
    if path.is_dir() or (path.exists() and not overwrite):
        raise UsageProblem(
            NOT_WRITTEN,
            where=str(path),
            expected="a new file",
            found="a folder" if path.is_dir() else "one that is there already",
            remedy="Name another file, or say that it may be overwritten.",
        )


def put(path: Path, rendered: bytes) -> None:
    """Write a file so that its name holds all of it or what it held before. Raises DrydownError."""
    try:
        descriptor, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        beside = Path(name)
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(rendered)
                file.flush()
                os.fsync(file.fileno())
            beside.chmod(0o666 & ~_umask())
            beside.replace(path)
        except BaseException:
            beside.unlink(missing_ok=True)
            raise
    except OSError as problem:
        raise DrydownError(
            NOT_WRITTEN,
            where=str(path),
            found=problem.strerror or "it cannot be written",
            remedy="Name a file in a folder you can write to.",
        ) from None


def _rendered(document: Document, ending: str) -> tuple[bytes, str]:
    """The bytes of the file, and what its reader must know of them."""
    match ending:
        case ".html":
            return html.render(document).encode("utf-8"), ""
        case ".pdf":
            pages = pdf.render(document)
            return pages.content, pages.remark
    return markdown.render(document).encode("utf-8"), ""


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _case(bench: Bench, session_id: int) -> Case:
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    weighing = weigh.weigh(bench, session_id)
    taken = read.taken_in(bench, session)
    shown = gate.open_regions(session, sheet)
    expected = expected_of(bench, session).expected
    gathered = gather(sheet, taken, session.condition, weigh.tables(bench).limits, expected=expected)
    return Case(
        session=session,
        sheet=sheet,
        weighing=weighing,
        shown=shown,
        findings=weigh.document(weighing),
        taken=taken,
        evidence={} if gathered is None else {r: e for r, e in gathered.regions.items() if r in shown},
        black_from="" if gathered is None else gathered.black_from,
    )
