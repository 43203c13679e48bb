"""TOML text to plain values, behind limits: what the parser would choke on is refused in one sentence.

Standard library only. Limits are the project's own choice: a map of three thousand patches has half of these
characters, and nothing of ours is nested in more than five levels. Whole numbers have 64 bits (TOML 1.0.0).
"""

import re
import tomllib
from typing import Any, Final

from evaluation.errors import SheetProblem

LONGEST: Final = 2**20
DEEPEST: Final = 32
_WORD: Final = r"(?:(?<![\w-])[\w-]++|\"[^\"\n]*+\"|'[^'\n]*+')"
# The parser takes the square of a key's parts in time.
_ENDLESS_KEY: Final = re.compile(rf"{_WORD}(?:[ \t]*+\.[ \t]*+{_WORD}){{{DEEPEST}}}")
_MANY_DIGITS: Final = re.compile(r"[0-9A-Fa-f_]{20,}")
_REMEDY: Final = "Correct that line and try again."


def values(text: str, where: str, what: str) -> dict[str, Any]:
    """The top table of a TOML text; no value in it is deeper than `DEEPEST` or wider than 64 bits.

    Raises SheetProblem: `where` names the file, `what` is the outcome.
    """

    def refused(expected: str, found: str, place: str = "") -> SheetProblem:
        there = f"{where}, {place}" if place else where
        return SheetProblem(what, where=there, expected=expected, found=found, remedy=_REMEDY)

    deep = refused(f"lists and tables nested in at most {DEEPEST} levels", "deeper ones")
    if len(text) > LONGEST:
        raise refused(f"at most {LONGEST:,} characters", f"{len(text):,}")
    if endless := _ENDLESS_KEY.search(text):
        raise refused(f"keys of at most {DEEPEST} parts", "a longer one", _line(text, endless))
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        from evaluation.toml_lines import syntax  # only where a mistake is told

        place, found = syntax(str(problem))
        raise refused("TOML", found, place) from None
    except RecursionError:
        raise deep from None
    except ValueError:  # Python converts no more than 4,300 digits
        raise _too_wide(text, refused) from None
    level: list[Any] = [table]
    for _ in range(DEEPEST + 1):
        if any(isinstance(value, int) and not -(2**63) <= value < 2**63 for value in level):
            raise _too_wide(text, refused)
        level = [inner for value in level for inner in _inside(value)]
    if level:
        raise deep
    return table


def _inside(value: Any) -> Any:
    if isinstance(value, dict):
        return value.values()
    return value if isinstance(value, list) else ()


def _too_wide(text: str, refused: Any) -> SheetProblem:
    longest = max(_MANY_DIGITS.finditer(text), key=lambda found: len(found[0]), default=None)
    problem: SheetProblem = refused(
        "whole numbers of at most 64 bits", "a longer one", _line(text, longest) if longest else ""
    )
    return problem


def _line(text: str, found: re.Match[str]) -> str:
    return f"line {text.count(chr(10), 0, found.start()) + 1}"
