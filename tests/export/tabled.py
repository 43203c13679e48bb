"""Tables read back as a program outside would read them; archives that are changed between two exports."""

import csv
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from evaluation.archive.connection import open_archive
from evaluation.export.columns import TABLES
from evaluation.work.bench import Bench

CONVERTED = {
    "text": str,
    "moment": str,
    "integer": int,
    "number": float,
    "boolean": {"true": True, "false": False}.__getitem__,
    "numbers": json.loads,
    "texts": json.loads,
}


def rows(folder: Path, table: str) -> list[dict[str, Any]]:
    """All rows of a table, from its CSV files, by the types of its columns."""
    kinds = {column.name: CONVERTED[column.type] for column in TABLES[table].columns}
    return [
        {name: kinds[name](cell) if cell else None for name, cell in row.items()}
        for row in _cells(folder, table)
    ]


def _cells(folder: Path, table: str) -> Iterator[dict[str, str]]:
    for path in sorted((folder / "csv" / table).glob("*/*/*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            yield from csv.DictReader(file)


def standing(folder: Path) -> dict[str, tuple[int, bytes]]:
    """Every file below a folder: which file it is, and what it holds."""
    return {
        str(path.relative_to(folder)): (path.stat().st_ino, path.read_bytes())
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def changed(path: Path, act: Callable[[Bench], object]) -> None:
    with open_archive(path) as archive:
        act(Bench(archive))
