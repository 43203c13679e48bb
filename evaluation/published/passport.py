"""Data files that say where their values come from. A table without its passport does not load.

A CSV table opens with comment lines, `# title: ...`; a line that starts with `#` and two spaces or more
continues the one before. A TOML file carries the same five keys in a table `[passport]`.
"""

import csv
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from importlib.resources import files
from typing import Any, Final, Literal, cast, get_args

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened

# READ: seen in a public source. COMPUTED: worked out by a named library. MEMORY: recalled, not confirmed.
# own: the project's own choice.
Mark = Literal["READ", "COMPUTED", "MEMORY", "own"]
MARKS: Final[tuple[Mark, ...]] = get_args(Mark)
# As a reader meets them.
MARK_WORDS: Final[Mapping[Mark, str]] = {
    "READ": "read",
    "COMPUTED": "computed",
    "MEMORY": "unconfirmed",
    "own": "own choice",
}


@dataclass(frozen=True, slots=True)
class Passport:
    """Where a table comes from: what it is, by whom, how sure, how the digits came here, in which units."""

    title: str
    source: str
    mark: Mark
    obtained: str
    units: str


@dataclass(frozen=True, slots=True)
class PublishedTable:
    """A CSV table: its passport, the names of its columns, its cells as text, row by row."""

    passport: Passport
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def column(self, name: str) -> tuple[str, ...]:
        """The cells of one column. Raises KeyError when there is no such column."""
        if name not in self.columns:
            raise KeyError(name)
        at = self.columns.index(name)
        return tuple(row[at] for row in self.rows)

    def numbers(self, name: str) -> tuple[float, ...]:
        """The cells of one column as numbers; an empty cell is nan. Raises KeyError, ValueError."""
        return tuple(float(cell) if cell else float("nan") for cell in self.column(name))


def load_table(package: str, name: str) -> PublishedTable:
    """A CSV table that lies in `package` under `name`, subfolders with slashes.

    Raises FileProblem when it is missing, has no passport, no rows, or a row of another length.
    """
    return read_table(_text(package, name), name)


def load_toml(package: str, name: str) -> tuple[Passport, dict[str, Any]]:
    """A TOML file that lies in `package` under `name`: its passport, and everything but the passport.

    Raises FileProblem when it is missing, is not TOML or has no passport.
    """
    return read_toml(_text(package, name), name)


def read_table(text: str, where: str) -> PublishedTable:
    """The table written in `text`; `where` names it in messages. Raises FileProblem as `load_table`."""
    lines = text.splitlines()
    head = next((n for n, line in enumerate(lines) if not line.startswith("#")), len(lines))
    passport = _passport(_stated(lines[:head]), where)
    cells = [row for row in csv.reader(lines[head:]) if row]
    if len(cells) < 2:
        raise _not_loaded(where, expected="a line of column names and rows", found="neither")
    columns, *rows = cells
    for row in rows:
        if len(row) != len(columns):
            raise _not_loaded(
                where,
                expected=f"{len(columns)} cells in each row",
                found=f"{len(row)} in the row {shortened(','.join(row))}",
            )
    return PublishedTable(passport, tuple(columns), tuple(tuple(row) for row in rows))


def read_toml(text: str, where: str) -> tuple[Passport, dict[str, Any]]:
    """Passport and data written in `text`; `where` names it in messages. Raises FileProblem."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise _not_loaded(where, expected="TOML", found=str(problem)) from problem
    stated = data.pop("passport", {})
    if not isinstance(stated, dict):
        raise _not_loaded(where, expected="[passport] as a table", found=shortened(repr(stated)))
    return _passport(stated, where), data


def _stated(comments: list[str]) -> dict[str, str]:
    stated: dict[str, str] = {}
    key = ""
    for line in comments:
        if line.startswith("#  ") and key:
            stated[key] += " " + line[1:].strip()
        elif ":" in line:
            key, _, value = (part.strip() for part in line[1:].partition(":"))
            stated[key] = value
    return stated


def _passport(stated: dict[str, Any], where: str) -> Passport:
    for field in fields(Passport):
        value = stated.get(field.name)
        if not isinstance(value, str) or not value.strip():
            raise _not_loaded(
                where,
                expected=f"a passport that states its {field.name}",
                found="none" if value is None else shortened(repr(value)),
            )
    if stated["mark"] not in MARKS:
        raise _not_loaded(
            where, expected=f"a mark, one of {', '.join(MARKS)}", found=shortened(repr(stated["mark"]))
        )
    return Passport(
        title=stated["title"],
        source=stated["source"],
        mark=cast(Mark, stated["mark"]),
        obtained=stated["obtained"],
        units=stated["units"],
    )


def _text(package: str, name: str) -> str:
    try:
        return files(package).joinpath(*name.split("/")).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError, ModuleNotFoundError) as problem:
        raise _not_loaded(
            f"{package}, {name}", expected="a data file", found=shortened(str(problem))
        ) from problem


def _not_loaded(where: str, *, expected: str, found: str) -> FileProblem:
    return FileProblem(
        "The table was not loaded.",
        where=where,
        expected=expected,
        found=found,
        remedy="Complete the file, or install drydown again if it came with it.",
    )
