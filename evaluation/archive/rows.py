"""Rows of the archive to nouns and back. Standard library only."""

import json
from collections.abc import Sequence
from typing import Any, Final

from evaluation.archive.moments import encodable, moment, moment_or_none, stamped_or_none
from evaluation.entry import Entry
from evaluation.session import Summary, Viewing

Row = tuple[Any, ...]

ENTRY: Final = "id, kind, subject, value, at, action, viewing, after_reveal"


def observer_of(table: str) -> str:
    """What an observer of `table`, `viewing` or `round`, is called here, as an expression.

    A name is one person wherever it was entered; a role, "observer 1", is one within a family of archives.
    """
    number = f"(SELECT number FROM other_family AS f WHERE f.family = {table}.family)"
    return (
        f"CASE WHEN {table}.observer NOT GLOB 'observer [0-9]*' OR {number} IS NULL THEN {table}.observer "
        f"ELSE {table}.observer || ' (elsewhere' || iif({number} = 1, '', ' ' || {number}) || ')' END"
    )


VIEWING: Final = f"id, ordinal, {observer_of('viewing')}, kind, started, region_order, reference"
# Whether an entry came from another archive.
CAME: Final = """
    (EXISTS (SELECT 1 FROM elsewhere) AND EXISTS (
        SELECT 1 FROM birth AS b JOIN elsewhere AS w ON w.origin = b.origin
        WHERE b.what = 'entry' AND b.number = entry.id))"""
SUMMARY: Final = "printer, paper, printed, printed_at, made_for, state, dries_until, regions, looked, again"


def entries(found: Sequence[Row]) -> tuple[Entry, ...]:
    """Entries from rows of the columns `ENTRY`.

    Their values are parsed in one go: a session has hundreds, and is put together anew at every key press.
    """
    values = json.loads(f"[{','.join(row[3] for row in found)}]")
    return tuple(
        Entry(id_, kind, subject, value, moment(at), action, viewing, bool(after_reveal))
        for (id_, kind, subject, _, at, action, viewing, after_reveal), value in zip(
            found, values, strict=True
        )
    )


def viewing(row: Row) -> Viewing:
    """A viewing without its answers, from the columns `VIEWING`."""
    id_, ordinal, observer, kind, started, order, reference = row
    return Viewing(id_, ordinal, observer, kind, moment(started), tuple(json.loads(order)), reference)


def summary(row: Row) -> Summary:
    """A summary from the columns `SUMMARY`."""
    printer, paper, printed, printed_at, made_for, state, dries_until, *counts = row
    return Summary(
        printer,
        paper,
        printed,
        moment_or_none(printed_at),
        made_for,
        state,
        moment_or_none(dries_until),
        *counts,
    )


def summary_row(value: Summary) -> Row:
    """The columns `SUMMARY`, and after them the words a session is found by."""
    shown = [encodable(text) for text in (value.printer, value.paper, value.printed)]
    return (
        *shown,
        stamped_or_none(value.printed_at),
        value.made_for,
        value.state,
        stamped_or_none(value.dries_until),
        value.regions,
        value.looked,
        value.again,
        " ".join((*shown, value.made_for or "", value.state)).casefold(),
    )
