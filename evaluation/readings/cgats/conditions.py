"""Measurement conditions side by side in one table, each named in its columns: "M0_380", "L* (M1)"."""

import re
from typing import Final

_MARKED: Final = re.compile(
    r"(?P<before>M[0-3])[\s_:/.\-]+(?P<rest>.+)"
    r"|(?P<head>.+?)[\s_:/\-]*[(\[\s_:/\-](?P<after>M[0-3])[)\]]?",
    re.I,
)
_LEAST: Final = 3  # the parts of a colour


def of_conditions(names: tuple[str, ...]) -> dict[str, tuple[str, ...]]:
    """The names of the table by condition: its own columns without their mark, those of others empty.

    {} where fewer than three columns name a condition.

    >>> of_conditions(("ID", "M0_L", "M0_a", "M0_b", "M2_L", "M2_a", "M2_b"))["M2"]
    ('ID', '', '', '', 'L', 'a', 'b')
    """
    found = [_MARKED.fullmatch(name.strip()) for name in names]
    marks = [(match["before"] or match["after"]).upper() if match else "" for match in found]
    if sum(1 for mark in marks if mark) < _LEAST:
        return {}
    return {
        condition: tuple(
            (match["rest"] or match["head"]) if match and mark == condition else "" if mark else name
            for name, match, mark in zip(names, found, marks, strict=True)
        )
        for condition in sorted({mark for mark in marks if mark})
    }
