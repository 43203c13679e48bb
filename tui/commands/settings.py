"""`drydown settings`: every value a weighing goes by, with its source and what you changed."""

from argparse import Namespace
from typing import Any

from evaluation.published.passport import MARK_WORDS
from evaluation.work import settings
from tui.out import Out
from tui.place import settings_path, settings_text


def run(args: Namespace, out: Out) -> int:
    """Show all settings, and say where to change them."""
    path = settings_path()
    text = settings_text()
    document = {**settings.document(settings.in_force(text, path.name)), "file": str(path)}
    if out.as_json:
        out.result(document)
    else:
        _told(document, text is not None, out)
    return 0


def _told(document: dict[str, Any], has_file: bool, out: Out) -> None:
    out.line("Thresholds and defaults. * stands before what your file changes.")
    out.line("dCh: distance in a* and b* alone. dC*, dH*: difference in chroma, in hue. dE00: CIEDE2000.")
    _limits(document["thresholds"], out)
    out.line("Anchors: the value of a metric at grade 5, 4, 3, 2 and 1.")
    out.table(
        ("", "metric", "5", "4", "3", "2", "1", "unit", "source"),
        [
            (_star(row), row["name"], *(f"{value:g}" for value in row["at"]), row["unit"], row["source"])
            for row in document["anchors"]
        ],
        right=(2, 3, 4, 5, 6),
    )
    out.line()
    out.line("Uses: how much each region weighs; key regions in capitals.")
    for row in document["uses"]:
        weights = (
            f"{region.upper() if region in row['key'] else region} {weight:g}"
            for region, weight in row["weights"].items()
        )
        out.line(f"{_star(row)} {row['name']}: {', '.join(weights)}")
    out.line()
    out.line("Likely causes: how much the evidence of each counts; 0 leaves it out.")
    out.table(
        ("", "cause", "counts", "may be"),
        [(_star(row), row["id"], f"{row['factor']:g}", row["text"]) for row in document["causes"]],
        right=(2,),
    )
    out.line()
    out.line("Clues: the limits that the evidence for and against a cause rests on.")
    _limits(document["clues"], out)
    out.line(f"Never graded: {', '.join(document['never_graded'])}.")
    out.line("unconfirmed: recalled from memory. own choice: the project's own. All can be changed.")
    verb = "Change them in" if has_file else "To change them, write"
    out.line(
        f"{verb} {document['file']}; under [thresholds], [anchors.NAME], [uses.NAME], [causes] or [clues]."
    )
    out.line(f"Digest of the settings in force: {document['digest']}")


def _limits(rows: list[dict[str, Any]], out: Out) -> None:
    out.table(
        ("", "name", "value", "unit", "mark", "what it is"),
        [
            (_star(row), row["name"], f"{row['value']:g}", row["unit"], MARK_WORDS[row["mark"]], row["note"])
            for row in rows
        ],
        right=(2,),
    )
    out.line()


def _star(row: dict[str, Any]) -> str:
    return "*" if row["overridden"] else " "
