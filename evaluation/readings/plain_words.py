"""Illuminant, observer and backing that a header states in plain words: "D50, 2 degree, white backing"."""

import re
from collections.abc import Sequence
from typing import Final

from evaluation.readings.file_table import Keyword

# Keywords that hold free text; a standard one of its own counts before any of them.
_FREE: Final = (
    *("INSTRUMENTATION", "INSTRUMENT", "MEASUREMENT_INSTRUMENT", "COMMENT", "COMMENTS", "REMARK", "REMARKS"),
    *("DESCRIPTOR", "MEASUREMENT_SOURCE", "MEASUREMENT_INFO"),
)
_WORDS: Final = {
    "illuminant": re.compile(r"(?<![\w.])(D\s?(?:50|55|65|75))(?![\w.])", re.I),
    "observer": re.compile(r"(?<![\d.])(2|10)\s*[-_]?\s*(?:°|deg(?:rees?)?\b)(?!\s*C\b)", re.I),
    "backing": re.compile(
        r"\b(white|black)[\s-]+(?:back(?:ing|er)|tile)\b|\bback(?:ing|er)\s*(?:is|:|=|,)?\s*(white|black)\b"
        r"|\bon\s+(?:a\s+)?(white|black)(?=\s*(?:$|[,;.)]))",
        re.I,
    ),
}


def in_plain_words(field: str, keywords: Sequence[Keyword], remarks: list[str]) -> str | None:
    """What free text states of a field, and a remark on where; None where it states nothing, or two things.

    Parameters
    ----------
    field
        "illuminant", "observer" or "backing".
    keywords
        Those of the table.
    remarks
        Remarks are appended to it.
    """
    found: dict[str, str] = {}
    for keyword in keywords:
        for match in _WORDS[field].finditer(keyword.value) if keyword.name in _FREE else ():
            value: str = next(group for group in match.groups() if group).replace(" ", "")
            found.setdefault(value.upper() if field == "illuminant" else value.lower(), keyword.name)
    if len(found) != 1:
        return None
    ((value, where),) = found.items()
    remarks.append(f"{field} {value} taken from the words of {where}")
    return value
