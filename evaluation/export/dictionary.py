"""The data dictionary, and the typed header that goes with every CSV."""

from typing import Any, Final

from evaluation.export.columns import PARTITIONS, TABLES, Column, ExportTable, Type

SCHEMA_ENDING: Final = ".schema.json"
# Datatypes of W3C, "Metadata Vocabulary for Tabular Data" (2015), 5.11; lists stand in their cell as JSON.
_DATATYPES: Final[dict[Type, str]] = {
    "text": "string",
    "integer": "integer",
    "number": "double",
    "boolean": "boolean",
    "moment": "dateTime",
    "numbers": "json",
    "texts": "json",
}


def header(table: ExportTable) -> list[dict[str, str]]:
    """The typed header of a table: name, type, unit ("" for none) and meaning of each column."""
    return [_column(column) for column in table.columns]


def dictionary() -> dict[str, Any]:
    """Every table with its columns, and the names of the folders its files lie in."""
    return {
        "folders": [_column(column) for column in PARTITIONS],
        "notes": [
            "A cell without a value: not stated, not measured, or held back.",
            "Moments are UTC. Undone entries and sessions off the list are left out, and so are results that"
            " are out of date: `drydown weigh` renews them.",
            "A session that is in several archives is in the export of each, under the same lasting name.",
            "In CSV a text that a spreadsheet would work out begins with an apostrophe.",
        ],
        "tables": [
            {"name": table.name, "a_row_is": table.a_row_is, "key": list(table.key), "columns": header(table)}
            for table in TABLES.values()
        ],
    }


def csv_schema(table: ExportTable) -> dict[str, Any]:
    """The columns of a table's CSV files as a schema of the W3C's vocabulary for tabular data."""
    return {
        "@context": "http://www.w3.org/ns/csvw",
        "@type": "Schema",
        "primaryKey": list(table.key),
        "columns": [
            {
                "name": column.name,
                "titles": column.name,
                "datatype": _DATATYPES[column.type],
                "dc:description": f"{column.meaning} [{column.unit}]" if column.unit else column.meaning,
            }
            for column in table.columns
        ],
    }


def _column(column: Column) -> dict[str, str]:
    return {"name": column.name, "type": column.type, "unit": column.unit, "meaning": column.meaning}
