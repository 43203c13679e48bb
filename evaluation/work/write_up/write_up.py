"""Write up: the appendix of one session or several, its true beginning, and its writing to files."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from evaluation.appendix import amended, content, data, markdown
from evaluation.appendix.case import NAMINGS as NAMINGS  # what screens and commands choose from
from evaluation.appendix.case import PARTS as PARTS
from evaluation.appendix.case import Case, Edition, Parts
from evaluation.appendix.case import Choices as Choices
from evaluation.appendix.document import Document, canonical, plain
from evaluation.appendix.style import NO_STYLE, Style, read_style
from evaluation.archive import documents, entries, sessions
from evaluation.entry import Draft
from evaluation.errors import ArchiveProblem, UsageProblem
from evaluation.judgement import tables as judgement_tables
from evaluation.judgement.weigh import Progress, untold
from evaluation.telling.neutrality.prints import Greys, Neutrality
from evaluation.telling.wording import utc
from evaluation.work import gate
from evaluation.work.bench import Bench, drydown_version, sheet_of
from evaluation.work.compare import compare
from evaluation.work.describe.begin import read_text
from evaluation.work.log import Entered, say
from evaluation.work.look.attach import attached_to
from evaluation.work.neutrality import neutrality
from evaluation.work.onto_disk import put_all, refuse_existing
from evaluation.work.sidebyside import sidebyside
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.document import document as weighing_document
from evaluation.work.weigh.weigh import gathered_of
from evaluation.work.write_up import comparison, files, published, sections

NOT_WRITTEN: Final = "No appendix was written."
WHOLE: Final = Choices("whole")
MOST: Final = min(compare.MOST, neutrality.MOST)  # sessions that one appendix lays side by side
ENDINGS: Final = (".html", ".md", ".pdf")


@dataclass(frozen=True, slots=True)
class Written:
    """An appendix on disk: where, the digest it is kept under, one step for each session, and a sentence.

    `beside` are the other files that were written with it.
    """

    path: Path
    digest: str
    steps: tuple[Entered, ...]
    words: str
    beside: tuple[Path, ...] = ()


def appendix(
    bench: Bench,
    session_ids: Sequence[int],
    choices: Choices = WHOLE,
    style: Style = NO_STYLE,
    tell: Progress = untold,
) -> Document:
    """The appendix of these sessions as they stand, through the gate; nothing is written or recorded.

    Where they were written up before, in the same parts, it says what has changed since. `tell` is told how
    far it is; what it raises ends the work.
    """
    return _made(bench, session_ids, choices, style, tell)[2]


def beginning(document: Document) -> str:
    """How the document begins, in plain text, one sentence group a line."""
    return content.beginning_words(document)


def as_text(document: Document) -> str:
    """The whole document as Markdown, for reading it in a terminal."""
    return markdown.render(document)


def write(
    bench: Bench,
    session_ids: Sequence[int],
    path: Path,
    choices: Choices = WHOLE,
    *,
    overwrite: bool = False,
    with_data: bool = False,
    figures: Path | None = None,
    style: Path | None = None,
    tell: Progress = untold,
) -> Written:
    """Write the appendix in the form that the file's ending asks for, each file whole or not at all.

    `with_data` writes readings, grades and findings into a folder next to it, as a whole appendix of more
    than three sessions always does; `figures` is a folder for every plot as SVG and PNG, with caption and
    numbers; `style` a house style. The same bytes are kept in the archive, and each session says that it was
    written up; earlier versions stay. `tell` is told how far it is; what it raises ends the work before
    anything is written. Raises UsageProblem for another ending or a
    file that is there already, DrydownError when a file cannot be written.
    """
    refuse_path(path, overwrite=overwrite)
    house = NO_STYLE if style is None else read_style(read_text(style, NOT_WRITTEN), style.name)
    cases, edition, document = _made(bench, session_ids, choices, house, tell)
    beside = files.beside(document, path, figures)
    if with_data or content.answers_as_data(choices.parts, len(cases)):
        folder = path.with_name(f"{path.stem}-data")
        beside |= {folder / name: made for name, made in data.files(cases, edition).items()}
    for file in beside:
        refuse_existing(file, NOT_WRITTEN, overwrite=overwrite)
    tell(len(cases) + 1, len(cases) + 2, "the pages")
    rendered, remark = files.rendered(document, path, house)
    tell(len(cases) + 2, len(cases) + 2, "the file")
    put_all({**beside, path: rendered}, NOT_WRITTEN)
    told = f"Written: {path.name}. {remark}".strip()
    if bench.archive.read_only:
        told += " This archive can only be looked at, so it does not record that."
        return Written(path, documents.digest_of(rendered), (), told, tuple(beside))
    digest, steps = _recorded(bench, cases, document, path.name, rendered, choices)
    return Written(path, digest, steps, told, tuple(beside))


def refuse_path(path: Path, *, overwrite: bool) -> None:
    """Raise UsageProblem, before any work, for a file that would not be written."""
    if path.suffix.lower() not in ENDINGS:
        raise UsageProblem(
            NOT_WRITTEN,
            where=str(path),
            expected=f"a file ending in {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}",
            found=path.suffix or "no ending",
        )
    if not path.absolute().parent.is_dir():
        raise UsageProblem(
            NOT_WRITTEN, where=str(path), expected="a folder that is there", found="none of that name"
        )
    refuse_existing(path, NOT_WRITTEN, overwrite=overwrite)


def _made(
    bench: Bench,
    session_ids: Sequence[int],
    choices: Choices,
    style: Style,
    tell: Progress = untold,
) -> tuple[tuple[Case, ...], Edition, Document]:
    if not session_ids:
        raise UsageProblem(NOT_WRITTEN, expected="a session", found="none", remedy="Name one or several.")
    edition = Edition(
        version=drydown_version(),
        written=utc(bench.now()),
        tables=weigh.tables(bench),
        shipped=judgement_tables.load_tables(),
        choices=choices,
        style=style,
    )
    ids = tuple(dict.fromkeys(session_ids))
    if len(ids) > MOST:
        raise UsageProblem(NOT_WRITTEN, expected=f"1 to {MOST} sessions", found=str(len(ids)))
    cases, greys = _cases(bench, ids, tell, choices.parts)
    tell(len(ids), len(ids) + 2, "the text")
    in_full = choices.parts in ("article", "whole")
    with_facts = choices.parts == "whole" or (in_full and len(ids) <= content.QUOTED)
    document = content.build(
        cases,
        edition,
        comparison.of_cases(bench, cases),
        greys,
        beside=sidebyside.of_prints(bench, ids),
        settings_in_order=sections.settings_of(bench, cases) if in_full else None,
        asked=sections.questions_of(bench, [case.session for case in cases]),
        facts=sections.facts_of(bench, cases) if with_facts else (),
        observers=sections.observers_of(bench, cases, choices.observers) if in_full else (),
    )
    earlier = _earlier(bench, [case.session.id for case in cases], choices)
    since = tuple(filter(None, (published.since(bench, case.weighing) for case in cases)))
    if earlier is not None and (changes := amended.changes(earlier[1], plain(document))):
        document = amended.with_changes(document, earlier[0], since, changes)
    elif since:
        document = replace(document, changes=since)
    return cases, edition, document


def _cases(
    bench: Bench, ids: Sequence[int], tell: Progress, parts: Parts
) -> tuple[tuple[Case, ...], Neutrality | None]:
    """A case each, with curves but for a summary; and how their greys compare, where that is shown."""
    on_record = None
    if content.tells_of_greys(parts, len(ids)):
        tell(0, len(ids) + 2, "the greys")
        on_record = neutrality.neutrality(bench, ids)
    cases = []
    for done, session_id in enumerate(ids):
        tell(done, len(ids) + 2, f"session {session_id}")
        greys = None if on_record is None else on_record.of(session_id)
        cases.append(_case(bench, session_id, greys, drawn=parts != "summary"))
    return tuple(cases), on_record


def _case(bench: Bench, session_id: int, greys: Greys | None, *, drawn: bool) -> Case:
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    in_force = weigh.tables(bench)
    weighing = weigh.weigh(bench, session_id)
    taken = read.taken_in(bench, session)
    shown = gate.open_regions(session, sheet)
    gathered = None
    if drawn:
        gathered = gathered_of(bench, session, sheet, taken, in_force)
    return Case(
        session=session,
        sheet=sheet,
        weighing=weighing,
        shown=shown,
        findings=weighing_document(weighing),
        taken=taken,
        evidence={} if gathered is None else {r: e for r, e in gathered.regions.items() if r in shown},
        black_from="" if gathered is None else gathered.black_from,
        photographs=attached_to(bench, session_id),
        greys=greys,
    )


def _earlier(
    bench: Bench, session_ids: Sequence[int], choices: Choices
) -> tuple[str, Mapping[str, Any]] | None:
    """Digest and content of the newest appendix of exactly these sessions in the same parts, if any."""
    same = {"sessions": list(session_ids), "parts": choices.parts, "observers": choices.observers}
    for said in reversed(entries.history(bench.archive, session_ids[0])):
        entry = said.entry
        if entry.kind != "written" or not said.live or not isinstance(entry.value, dict):
            continue
        if "content" in entry.value and all(entry.value.get(key) == value for key, value in same.items()):
            try:
                kept = documents.fetch(bench.archive, entry.value["content"])[1]
            except ArchiveProblem:
                continue
            return entry.subject, json.loads(kept)
    return None


def _recorded(
    bench: Bench,
    cases: Sequence[Case],
    document: Document,
    name: str,
    rendered: bytes,
    choices: Choices,
) -> tuple[str, tuple[Entered, ...]]:
    """Keep file, content and weighings, and say in each session that it was written up: all or nothing."""
    ids = [case.session.id for case in cases]
    with bench.archive.joined():
        digest = documents.keep(bench.archive, "appendix", name, rendered)
        kept = documents.keep(bench.archive, "appendix", f"{name}.json", canonical(document).encode())
        value = {
            "file": name,
            "content": kept,
            "sessions": ids,
            "parts": choices.parts,
            "observers": choices.observers,
        }
        steps = tuple(
            say(
                bench,
                case.session.id,
                [Draft("written", digest, value | {"weighing": published.keep(bench, case.weighing)})],
            )
            for case in cases
        )
    return digest, steps
