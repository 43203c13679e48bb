"""Limits of readers, profiles and metrics stand in a table, each with its unit, mark and reason."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from evaluation.published import limits as home
from evaluation.published.passport import MARKS

ROOM = Path(home.__file__).parents[1]
PACKAGES = ("readings", "profile", "metrics")

# Named numbers that are no limits, by what they are.
HOW_IT_IS_WORKED_OUT = {
    "draws, seeds, rounds": "_DRAWS _SEED _ROUNDS _POINTS _DRAWN _STEADY _MANY _ABOVE",
    "what is done at once": "_AT_ONCE _BLOCK_ROWS _BLOCK_CHARS CHUNK _PAIRS MOST_PAIRS _BETWEEN_PROGRESS",
    "where a quicker way to the same result is taken": "_FEWEST _MOST_KINDS _LONGEST",
    "what is kept at hand": "_KEPT",
    "grids": "_NODES NODES _COLUMN _BOX _REACHES _BITS BLOCK SLICES LESS",
    "fits": "_NEIGHBOURS _ROWS_PER_TERM _SHIFTS _STIFF",
    "digits that files write": "_DIGITS VALUE_TOLERANCE _ALIKE _SAME _FACE _ROWS_FOR_DIGITS _EXACTLY",
    "the white of a scale, less such a digit": "_ALL_LIGHT",
    "looked at": "_ROWS_COMPARED",
    "white, as files write it": "_ALL_LIGHT",
    "layouts of standards": "_FIRST PARAMETERS _STARTS _VERSION _DATE _ONE _PCS_WHITE",
    "likewise": "_MOST_INKS _INPUT _OUTPUT",
    "parts of a colour, a scale, a table": "_LEAST _LEAST_CHANNELS _LEAST_STEPS _SPHERE PERCENT THOUSANDTHS",
    "units": "_DAY _MICROMETRE _FIRST_YEAR",
    "what looks like a table": "_LEAST_BANDS LEAST_OF_A_STEM _HEAD_LINES _HEAD _SNIFFED _MOST _NAMED",
    "of published weights": "FIRST_NM LAST_NM _WIDEST_STEP FALLBACK_FACTOR _SCALED_AT",
    "percentiles with their name": "_TOLD",
}
KNOWN = frozenset(" ".join(HOW_IT_IS_WORKED_OUT.values()).split())


def code() -> Iterator[tuple[str, str]]:
    for package in PACKAGES:
        for path in sorted((ROOM / package).rglob("*.py")):
            yield path.relative_to(ROOM).as_posix(), path.read_text("utf-8")


def test_every_row_is_whole_and_used() -> None:
    used = set(re.findall(r'\b(?:limit|whole)\("(\w+)"\)', "\n".join(text for _, text in code())))
    assert used == set(home.limits())
    for row in home.limits().values():
        assert row.unit and row.note and row.mark in MARKS and isinstance(row.value, int | float), row.name


def test_no_limit_of_our_own_stands_in_code() -> None:
    """Neither as a named number that is none of the known kinds, nor with words that call it our choice."""
    found = []
    for name, text in code():
        for node in ast.parse(text).body:
            targets = [node.target] if isinstance(node, ast.AnnAssign) else getattr(node, "targets", [])
            names = [each.id for target in targets for each in ast.walk(target) if isinstance(each, ast.Name)]
            value = getattr(node, "value", None)
            if value is not None and _is_number(value) and not set(names) <= KNOWN:
                found.append(f"{name}: {', '.join(names)}")
    assert not found, "into published/limits.toml, or among the known: " + "; ".join(found)


def _is_number(value: ast.expr) -> bool:
    """A number, or a few of them, or sums and products of numbers."""
    parts = list(ast.walk(value))
    plain = ast.Constant | ast.Tuple | ast.BinOp | ast.UnaryOp | ast.operator | ast.unaryop | ast.expr_context
    numbers = [p for p in parts if isinstance(p, ast.Constant) and type(p.value) in (int, float)]
    strings = [p for p in parts if isinstance(p, ast.Constant) and type(p.value) not in (int, float)]
    return bool(numbers) and not strings and all(isinstance(part, plain) for part in parts)


def test_a_limit_by_an_unknown_name_is_a_mistake() -> None:
    with pytest.raises(KeyError):
        home.limit("none_such")
    assert home.limit("lab_lightest") == 105.0 and home.whole("file_rows") == 50_000
