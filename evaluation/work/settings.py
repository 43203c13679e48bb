"""The settings in force: every value a weighing goes by, where it comes from, and what the user changed."""

from collections.abc import Mapping

from evaluation.documents import settings as shape
from evaluation.judgement.table_rows import Threshold
from evaluation.judgement.tables import Tables, load_tables


def in_force(settings_text: str | None, where: str) -> Tables:
    """The tables as shipped with the user's file laid over them. Raises SheetProblem naming its mistakes."""
    return load_tables(settings_text, where)


def document(tables: Tables) -> shape.Settings:
    """All settings as plain values."""
    return {
        "digest": tables.digest,
        "overridden": list(tables.overridden),
        "thresholds": _limits(tables, "thresholds", tables.thresholds),
        "clues": _limits(tables, "clues", tables.clues),
        "anchors": [
            {
                "name": name,
                "at": list(anchor.at),
                "unit": anchor.unit,
                "regions": list(anchor.regions),
                "graded": anchor.key,
                "source": anchor.source,
                "overridden": _touched(tables, f"anchors.{name}"),
            }
            for name, anchor in tables.anchors.items()
        ],
        "uses": [
            {
                "name": use,
                "weights": dict(row.weights),
                "key": list(row.key),
                "where_shown": list(row.where_shown),
                "overridden": _touched(tables, f"uses.{use.replace(' ', '_')}"),
            }
            for use, row in tables.uses.items()
        ],
        "causes": [
            {
                "id": row.id,
                "text": row.text,
                "factor": row.factor,
                "overridden": _touched(tables, f"causes.{row.id}"),
            }
            for row in tables.causes
        ],
        "never_graded": list(tables.never_graded),
    }


def _limits(tables: Tables, section: str, rows: Mapping[str, Threshold]) -> list[shape.Threshold]:
    return [
        {
            "name": name,
            "value": row.value,
            "unit": row.unit,
            "mark": row.mark,
            "note": row.note,
            "overridden": f"{section}.{name}" in tables.overridden,
        }
        for name, row in rows.items()
    ]


def _touched(tables: Tables, path: str) -> bool:
    return any(key == path or key.startswith(path + ".") for key in tables.overridden)
