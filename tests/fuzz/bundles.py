"""Bundles from anybody: bytes out of place, or values changed by one who can make its digests."""

import contextlib
import hashlib
import json
import os
import shutil
import sqlite3
import zlib
from functools import cache
from pathlib import Path
from random import Random
from typing import Any, Final

from evaluation.archive.bundles import sealed
from tests.fuzz import bases, mutations
from tui.cli import main

_TABLES: Final = ("entry", "entry", "entry", "readings", "session", "viewing", "turn", "birth", "sight")
_ODD: Final = (
    *(
        None,
        "",
        "x",
        "\u202e",
        "\x1b[2J",
        "0",
        "[]",
        "{}",
        "null",
        "true",
        '"x"',
        "1e999",
        "[" * 99 + "]" * 99,
    ),
    *(-1, 0, 1, 99, 2**63 - 1, 0.5, 1e308, b"", b"\0" * 8, b"\xff" * 24, "0" * 32, "f" * 64),
    *("2026-02-30T00:00:00.000+00:00", "0001-01-01T00:00:00.000+00:00", "skin/overall", "noise", "M1"),
)
_LEAVES: Final = (None, True, -1, 0, 9, 1e308, 10**30, "", "x", "\u202e", [], {}, [[1]], "2026-02-30")


@cache
def sound(archive: Path) -> bytes:
    """A bundle of the sessions of an archive, once more of what people enter is in them."""
    folder = archive.parent / "to-bundle"
    folder.mkdir(exist_ok=True)
    copy = folder / "archive.db"
    shutil.copy(archive, copy)
    grades, picture, loan = folder / "grades.toml", folder / "fault.jpg", folder / "loan.toml"
    grades.write_text(bases.CHART_GRADES.replace("observer 1", "observer 2").replace("4", "3"), "utf-8")
    picture.write_bytes(bases.pictures()["jpeg"])
    loan.write_text(bases.LOAN, "utf-8")
    for words in (
        ["grade", 1, "--from", grades],
        ["facts", 1, "--say", "noise: printing 57 dB, quiet 38 dB"],
        ["attach", 1, "skin", picture],
        ["plan", "--from", loan],
        ["weigh", 1],
        ["bundle", 1, 2, "-o", folder / "sound.bundle"],
    ):
        with open(os.devnull, "w") as nowhere, contextlib.redirect_stdout(nowhere):  # noqa: PTH123
            assert main([*map(str, words), "--archive", str(copy)]) == 0, words
    return (folder / "sound.bundle").read_bytes()


def forged(content: bytes, random: Random, path: Path) -> None:
    """A bundle in which a few values are others; most agree with their digests all the same."""
    if random.random() < 0.1:
        path.write_bytes(mutations.of_archive(content, random))
        return
    path.write_bytes(content)
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as file:
        file.execute("PRAGMA ignore_check_constraints = ON")
        triggers = file.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            file.execute(f"DROP TRIGGER {name}")
        for _ in range(random.choice((1, 1, 2, 4))):
            with contextlib.suppress(sqlite3.Error, OverflowError):
                _document(file, random) if random.random() < 0.25 else _value(file, random)
        for _, sql in triggers:
            file.execute(sql)
        if random.random() < 0.95:
            with contextlib.suppress(sqlite3.Error, ValueError, LookupError, TypeError, AttributeError):
                about = sealed.about(file)
                file.execute("BEGIN")
                file.execute("DELETE FROM bundle")
                file.execute("DELETE FROM bundle_digest")
                assert about is not None
                sealed.close(file, about)
                file.execute("COMMIT")


def _value(file: sqlite3.Connection, random: Random) -> None:
    """One cell: something odd, what stands in another row, a leaf of its JSON, or the whole row gone."""
    table = random.choice(_TABLES)
    columns = [row[1] for row in file.execute(f"PRAGMA table_info({table})")]
    rows = file.execute(f"SELECT * FROM {table} ORDER BY 1, 2").fetchall()
    if not rows:
        return
    row, at = random.choice(rows), random.randrange(len(columns))
    here = " AND ".join(f"{column} IS ?" for column in columns)
    chance = random.random()
    if chance < 0.05:
        file.execute(f"DELETE FROM {table} WHERE {here}", row)
        return
    told = [n for n, cell in enumerate(row) if isinstance(cell, str) and cell[:1] in '{["']
    if chance < 0.5 and told:
        at = random.choice(told)
        value: Any = _other_leaf(row[at], random)
    elif chance < 0.75:
        value = random.choice(rows)[at]
    else:
        value = random.choice(_ODD)
    file.execute(f"UPDATE {table} SET {columns[at]} = ? WHERE {here}", (value, *row))


def _other_leaf(text: str, random: Random) -> str:
    """JSON with one of its leaves or branches another."""
    try:
        tree = [json.loads(text)]
    except ValueError:
        return random.choice(("{}", "[]", "1"))
    places: list[tuple[Any, Any]] = []

    def walk(node: Any) -> None:
        for key, child in list(node.items() if isinstance(node, dict) else enumerate(node)):
            places.append((node, key))
            if isinstance(child, dict | list):
                walk(child)

    walk(tree)
    node, key = random.choice(places)
    node[key] = random.choice(_LEAVES)
    return json.dumps(tree[0])


def _document(file: sqlite3.Connection, random: Random) -> None:
    """A text or file that a session leans on, changed; all that names its digest names the new one."""
    rows = file.execute("SELECT digest, kind, content FROM document ORDER BY kind, size").fetchall()
    digest, kind, packed = random.choice(rows)
    content = zlib.decompress(packed)
    changed = (
        mutations.of_toml(content, random)
        if kind in ("map", "tables")
        else mutations.of_bytes(content, random)
    )
    new = hashlib.sha256(changed).hexdigest()
    file.execute(
        "UPDATE document SET digest = ?, size = ?, content = ? WHERE digest = ?",
        (new, len(changed), zlib.compress(changed), digest),
    )
    for (table,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall():
        for _, column, kind, *_ in file.execute(f"PRAGMA table_info({table})").fetchall():
            if kind == "TEXT" and table != "document":
                file.execute(f"UPDATE {table} SET {column} = replace({column}, ?, ?)", (digest, new))
