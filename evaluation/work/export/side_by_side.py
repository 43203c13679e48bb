"""Prints beside each other as rows: rounds and triangles that are over, for others are a secret."""

from collections.abc import Collection, Iterator
from datetime import datetime
from typing import Any

from evaluation.archive import exported
from evaluation.archive.connection import Archive
from evaluation.archive.moments import stamped
from evaluation.archive.sqlite import understood
from evaluation.rounds import odd_of
from evaluation.work.export.session_rows import ArchiveNames

Row = tuple[Any, ...]


def by_month(
    archive: Archive, named: ArchiveNames, listed: Collection[int]
) -> dict[str, dict[str, list[Row]]]:
    """Rows by table, by the month in which a round or a test was begun; of sessions on the list alone.

    Raises ArchiveProblem where they are damaged.
    """
    found: dict[str, dict[str, list[Row]]] = {}
    with understood(archive.path, "rounds of prints side by side"):
        for table, begun, sessions, row in (*_rounds(archive, named), *_triangles(archive, named)):
            if sessions <= set(listed):
                found.setdefault(stamped(begun)[:7], {}).setdefault(table, []).append(row)
    return found


def _rounds(archive: Archive, named: ArchiveNames) -> Iterator[tuple[str, datetime, set[int], Row]]:
    for one in exported.rounds_over(archive):
        for place, answer in sorted(one.answers.items()):
            left, right = (one.prints[letter] for letter in one.pairs[place])
            head = (named.round[one.id], place + 1, stamped(one.started), *named.judged[one.id], one.region)
            row = (*head, one.ask, named.session[left], named.session[right], answer)
            yield "side_by_side", one.started, {left, right}, row


def _triangles(archive: Archive, named: ArchiveNames) -> Iterator[tuple[str, datetime, set[int], Row]]:
    for one in exported.triangles_over(archive):
        for place, answer in sorted(one.answers.items()):
            head = (named.round[one.id], place + 1, stamped(one.started), *named.judged[one.id], one.region)
            lying = tuple(named.session[session] for session in one.shown[place])
            row = (*head, *lying, answer, answer == odd_of(one.shown[place]))
            yield "triangles", one.started, set(one.prints), row
