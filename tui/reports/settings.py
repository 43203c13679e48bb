"""The settings in force as a report: every value a weighing goes by, its source, what the user changed."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from evaluation.documents.settings import Settings, Threshold
from evaluation.published.passport import MARK_WORDS
from evaluation.telling.table import Table
from tui.reports import Block


def report(document: Settings, path: Path, *, has_file: bool) -> list[Block]:
    """`path` is where the user's own file is looked for."""
    verb = "Change them in" if has_file else "To change them, write"
    return [
        "Thresholds and defaults. * stands before what your file changes.",
        "dCh: distance in a* and b* alone. dC*, dH*: difference in chroma, in hue. dE00: CIEDE2000.",
        _limits(document["thresholds"]),
        "",
        "Anchors: the value of a metric at grade 5, 4, 3, 2 and 1.",
        Table(
            "",
            ("", "metric", "5", "4", "3", "2", "1", "unit", "source"),
            tuple(
                (_star(row), row["name"], *(f"{value:g}" for value in row["at"]), row["unit"], row["source"])
                for row in document["anchors"]
            ),
            (2, 3, 4, 5, 6),
        ),
        "",
        "Uses: how much each region weighs; key regions in capitals.",
        *(f"{_star(row)} {row['name']}: {_weights(row)}" for row in document["uses"]),
        "",
        "Likely causes: how much the evidence of each counts; 0 leaves it out.",
        Table(
            "",
            ("", "cause", "counts", "may be"),
            tuple((_star(row), row["id"], f"{row['factor']:g}", row["text"]) for row in document["causes"]),
            (2,),
        ),
        "",
        "Clues: the limits that the evidence for and against a cause rests on.",
        _limits(document["clues"]),
        "",
        "Routine: what is done now and then. No result rests on it.",
        _limits(document["routine"]),
        "",
        f"Never graded: {', '.join(document['never_graded'])}.",
        "unconfirmed: recalled from memory. own choice: the project's own. All can be changed.",
        f"{verb} {path}; under [thresholds], [anchors.NAME], [uses.NAME], [causes], [clues] or [routine].",
        f"Digest of the settings in force: {document['digest']}",
    ]


def _limits(rows: Sequence[Threshold]) -> Table:
    return Table(
        "",
        ("", "name", "value", "unit, where it comes from, what it is"),
        tuple(
            (
                _star(row),
                row["name"],
                f"{row['value']:g}",
                f"{row['unit']}, {MARK_WORDS[row['mark']]}: {row['note']}",
            )
            for row in rows
        ),
        (2,),
    )


def _weights(row: Any) -> str:
    return ", ".join(
        f"{region.upper() if region in row['key'] else region} {weight:g}"
        f"{' where shown' if region in row['where_shown'] else ''}"
        for region, weight in row["weights"].items()
    )


def _star(row: Any) -> str:
    return "*" if row["overridden"] else " "
