"""One archive as tables: month by month, each file whole, nothing written that stands there as it is."""

import contextlib
import os
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from evaluation import unfinished
from evaluation.archive import exported
from evaluation.archive.connection import Archive, open_archive
from evaluation.archive.exported import Stands
from evaluation.archive.moments import stamped
from evaluation.errors import DrydownError
from evaluation.export import folder as lying
from evaluation.export import parquet
from evaluation.export.folder import ExportedArchive, Month, Sizes
from evaluation.export.part import Part, of_rows
from evaluation.export.written import WRITERS, Format, TableFile
from evaluation.judgement.rules import RULES
from evaluation.sheet.layout import Sheet
from evaluation.work.bench import Bench
from evaluation.work.export import side_by_side
from evaluation.work.export.session_rows import ArchiveNames, parts, told
from evaluation.work.onto_disk import not_written, put

NOT_EXPORTED: Final = "It was not exported."
_SHEETS: Final[dict[str, Sheet]] = {}  # by digest: archives of one process share most of them


@dataclass(frozen=True, slots=True)
class Exported:
    """What became of one archive; the problem, as the parts of a DrydownError, where it was not exported.

    waiting  sessions without a result that is up to date
    written, unchanged  files
    """

    archive: str
    origin: str = ""
    sessions: int = 0
    waiting: int = 0
    written: int = 0
    unchanged: int = 0
    problem: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A month as it stands in the archive."""

    standing: str
    sessions: tuple[Stands, ...]
    beside: Mapping[str, Sequence[Sequence[Any]]]  # by table


def origin_of(path: Path) -> str:
    """What an archive was born as; "" where it cannot be read, which the export then says."""
    try:
        with open_archive(path, read_only=True) as archive:
            return exported.origin(archive)
    except DrydownError:
        return ""


def export(path: Path, folder: Path, formats: Collection[Format], *, names: bool) -> Exported:
    """Bring the files of one archive up to date; a problem of its own is part of what is returned."""
    try:
        with open_archive(path, read_only=True) as archive, archive.snapshot():
            return _export(archive, folder, formats, names)
    except DrydownError as problem:
        return refused(path, problem)
    except OSError as problem:
        return refused(path, not_written(Path(problem.filename or folder), problem, NOT_EXPORTED))


def refused(path: Path, problem: DrydownError) -> Exported:
    """An archive of which nothing new was written; in plain words, which can pass between processes."""
    names = ("what", "where", "expected", "found", "remedy")
    return Exported(str(path), problem={name: getattr(problem, name) for name in names})


def place_of(path: Path) -> str:
    """A digest of where an archive lies: an export says nothing of anybody's folders."""
    return exported.digest(os.path.realpath(path))


def _export(archive: Archive, folder: Path, formats: Collection[Format], names: bool) -> Exported:
    named = told(archive, names=names)
    origin = exported.origin(archive)
    before = lying.listed(folder, origin) or ExportedArchive(origin, "")
    wanted_formats = [form for form in WRITERS if form in {*formats, *before.formats}]
    if "parquet" in wanted_formats:
        parquet.require()
    wanted = _months(archive, named)
    listed = [one for month in wanted.values() for one in month.sessions]
    waiting = sum(one.result is None for one in listed)
    bench = Bench(archive, sheets=_SHEETS)
    months = dict(before.months)
    written = unchanged = 0
    try:
        for month, one in wanted.items():
            there = before.months.get(month)
            if there is not None and _is_as_wanted(folder, origin, month, there, one, wanted_formats):
                unchanged += _count(there.files)
                continue
            files = _written(bench, named, folder, origin, month, one, wanted_formats)
            months[month] = Month(one.standing, files)
            written += _count(files)
            if there is not None:
                lying.remove(folder, origin, month, _gone(there.files, files))
        for month in before.months.keys() - wanted.keys():
            lying.remove(folder, origin, month, before.months[month].files)
            del months[month]
    finally:
        now = ExportedArchive(origin, place_of(archive.path), months)
        if now != before:
            path, content = lying.list_file(folder, now)
            path.parent.mkdir(parents=True, exist_ok=True)
            put(path, content, NOT_EXPORTED)
    return Exported(str(archive.path), origin, len(listed), waiting, written, unchanged)


def _is_as_wanted(
    folder: Path, origin: str, month: str, there: Month, wanted: _Wanted, formats: Collection[Format]
) -> bool:
    return (
        there.standing == wanted.standing
        and there.files.keys() == set(formats)
        and lying.is_there(folder, origin, month, there.files)
    )


def _months(archive: Archive, named: ArchiveNames) -> dict[str, _Wanted]:
    sessions = exported.stands(archive, RULES)
    rounds = side_by_side.by_month(archive, named, {one.number for one in sessions})
    shared = (sorted(named.roles.items()), exported.elsewhere(archive), RULES, lying.VERSION)
    found = {}
    begun = {one.number: stamped(one.created)[:7] for one in sessions}
    for month in sorted({*begun.values(), *rounds}):
        of_month = tuple(one for one in sessions if begun[one.number] == month)
        lay = rounds.get(month, {})
        found[month] = _Wanted(exported.digest(shared, of_month, lay), of_month, lay)
    return found


def _written(
    bench: Bench,
    named: ArchiveNames,
    folder: Path,
    origin: str,
    month: str,
    wanted: _Wanted,
    formats: Sequence[Format],
) -> dict[Format, dict[str, int]]:
    """Write the files of a month; their sizes in bytes. A table without a row in it has no file."""
    drafts: dict[tuple[Format, str], tuple[Path, TableFile]] = {}
    with contextlib.ExitStack() as unless_moved:
        for part in _parts(bench, named, wanted):
            if not part.count:
                continue
            for form in formats:
                if (form, part.table) not in drafts:
                    draft = unfinished.beside(lying.drafts(folder) / part.table)
                    unless_moved.callback(draft.unlink, missing_ok=True)
                    file = WRITERS[form](part.table, draft)
                    unless_moved.callback(file.give_up)
                    drafts[form, part.table] = draft, file
                drafts[form, part.table][1].add(part)
        sizes: dict[Format, dict[str, int]] = {form: {} for form in formats}
        for (form, table), (draft, file) in drafts.items():
            file.close()
            sizes[form][table] = draft.stat().st_size
            path = lying.file(folder, form, table, origin, month)
            path.parent.mkdir(parents=True, exist_ok=True)
            draft.replace(path)
    return sizes


def _parts(bench: Bench, named: ArchiveNames, wanted: _Wanted) -> Iterator[Part]:
    for stands in wanted.sessions:
        yield from parts(bench, named, stands)
    for table, rows in wanted.beside.items():
        yield of_rows(table, rows)


def _gone(before: Sizes, now: Sizes) -> Sizes:
    """The files that a month had and has no more."""
    return {
        form: {table: size for table, size in tables.items() if table not in now.get(form, {})}
        for form, tables in before.items()
    }


def _count(files: Sizes) -> int:
    return sum(len(tables) for tables in files.values())
