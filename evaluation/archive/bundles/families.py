"""Whose viewings came: families of archives that are not this one's, and what observers are called here."""

import json
import sqlite3
from collections.abc import Iterable

from evaluation.archive.bundles.bring import Bringing
from evaluation.archive.bundles.records import Record
from evaluation.archive.rows import observer_of


def keep(into: sqlite3.Connection, came: Iterable[Record]) -> None:
    """Number the families of viewings and rounds that came, but this archive's own."""
    families = dict.fromkeys(one.content[-1] for one in came if one.what in ("viewing", "round"))
    into.executemany(
        "INSERT OR IGNORE INTO other_family (family) "
        "SELECT ?1 WHERE ?1 NOT IN ('', (SELECT family FROM origin))",
        [(family,) for family in families],
    )


def observers(into: sqlite3.Connection, bringing: Bringing, found: Iterable[Record]) -> tuple[str, ...]:
    """Who made these viewings, each once, as they are called here."""
    numbers = [bringing.number_of(one.name) for one in found if one.what == "viewing"]
    called = into.execute(
        f"SELECT {observer_of('v')} FROM json_each(?) AS n JOIN viewing AS v ON v.id = n.value "
        "ORDER BY n.key",
        (json.dumps(numbers),),
    )
    return tuple(dict.fromkeys(name for (name,) in called))
