"""The folder of an export: where each file lies, and what is known of those that are there.

    dictionary.json, csv/TABLE.schema.json         what the columns mean
    csv/TABLE/origin=.../month=2026-11/TABLE.csv   likewise json and parquet
    archives/ORIGIN.json                           what was written of an archive, and how it stood then
    unfinished/                                    files on their way, where no engine looks for them

A month of an archive is written anew when its sessions stand otherwise than its list says, or a file does not
have the size noted there. Files are whole or not there; what a power cut leaves empty, the next export sees.
"""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from evaluation.export.columns import TABLES
from evaluation.export.written import FORMATS, Format

VERSION: Final = 1  # of the tables and their files: raised, everything is written anew
_ORIGIN: Final = re.compile(r"[0-9a-f]{32}")
_MONTH: Final = re.compile(r"\d{4}-\d\d")
Sizes = Mapping[Format, Mapping[str, int]]  # bytes, by table


@dataclass(frozen=True, slots=True)
class Month:
    """What lies there of one month: how its sessions stood, and the size of each file."""

    standing: str
    files: Sizes


@dataclass(frozen=True, slots=True)
class ExportedArchive:
    """What lies there of one archive. `place`: digest of the path it was exported from."""

    origin: str
    place: str
    months: Mapping[str, Month] = field(default_factory=dict)

    @property
    def formats(self) -> frozenset[Format]:
        """In which it was written before: they are kept up."""
        return frozenset(form for month in self.months.values() for form in month.files)


def file(folder: Path, form: Format, table: str, origin: str, month: str) -> Path:
    """Where a table's file of one archive and month lies."""
    return folder / form / table / f"origin={origin}" / f"month={month}" / f"{table}.{form}"


def drafts(folder: Path) -> Path:
    """Where files are written before they are moved into place."""
    return folder / "unfinished"


def listed(folder: Path, origin: str) -> ExportedArchive | None:
    """What is known of an archive's files; None where it was not exported here, or its list is of no use."""
    try:
        found = _listed(json.loads(_list(folder, origin).read_bytes()))
    except (OSError, ValueError, TypeError, LookupError, AttributeError):
        return None
    return found if found is not None and found.origin == origin else None


def all_listed(folder: Path) -> Iterator[ExportedArchive]:
    """The same of every archive."""
    for path in sorted((folder / "archives").glob("*.json")):
        if (found := listed(folder, path.stem)) is not None:
            yield found


def list_file(folder: Path, what: ExportedArchive) -> tuple[Path, bytes]:
    """The list of an archive's files, as it is to be written."""
    months = {name: {"standing": one.standing, "files": one.files} for name, one in what.months.items()}
    content = {"version": VERSION, "origin": what.origin, "place": what.place, "months": months}
    return _list(folder, what.origin), json.dumps(content).encode()


def is_there(folder: Path, origin: str, month: str, files: Sizes) -> bool:
    """Whether every file of a month lies there as it was written."""
    try:
        return all(
            file(folder, form, table, origin, month).stat().st_size == size
            for form, tables in files.items()
            for table, size in tables.items()
        )
    except OSError:
        return False


def remove(folder: Path, origin: str, month: str, files: Sizes) -> None:
    """Take the files of a month away, and folders that are empty then. Raises OSError."""
    for form, tables in files.items():
        for table in tables:
            path = file(folder, form, table, origin, month)
            path.unlink(missing_ok=True)
            for parent in (path.parent, path.parent.parent):
                if parent.is_dir() and not any(parent.iterdir()):
                    parent.rmdir()


def forget(folder: Path, what: ExportedArchive) -> None:
    """Take everything of an archive away. Raises OSError."""
    for month, one in what.months.items():
        remove(folder, what.origin, month, one.files)
    _list(folder, what.origin).unlink(missing_ok=True)


def _list(folder: Path, origin: str) -> Path:
    return folder / "archives" / f"{origin}.json"


def _listed(content: Any) -> ExportedArchive | None:
    """A list names no paths, and nothing that could become another: it may come from anywhere."""
    if not _ORIGIN.fullmatch(content["origin"]):
        return None
    months = {}
    for name, one in content["months"].items():
        if not _MONTH.fullmatch(name) or not one["files"].keys() <= set(FORMATS):
            return None
        if not all(tables.keys() <= TABLES.keys() for tables in one["files"].values()):
            return None
        standing = str(one["standing"]) if content["version"] == VERSION else ""
        months[name] = Month(standing, one["files"])
    return ExportedArchive(content["origin"], str(content["place"]), months)
