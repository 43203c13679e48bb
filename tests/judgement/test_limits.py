"""Limits are data: no number of judgement stands in code, and every limit is named, shown and obeyed."""

import ast
import re
import string
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from evaluation.judgement import tables as home
from evaluation.judgement.causes import MODULES
from evaluation.judgement.clues.explained import Explained
from evaluation.judgement.override import span
from evaluation.judgement.tables import Tables, load_tables
from evaluation.metrics.limits import Limits
from evaluation.progress import USUAL

ROOM = Path(home.__file__).parent
TABLES = load_tables()

# Numbers that are no limits: nothing, one, both; in products, powers and places, not in comparisons.
PLAIN = {0, 1, 2, -1}
# What else stands in code, and why it is not a limit that anyone would set.
REASONED = {
    "beside/circles.py": {
        6: "prints, of Kendall's coefficient",
        3: "a circle has three; a triangle has three",
        1: "each pair once",
        24: "of Kendall's coefficient",
        4: "likewise",
    },
    "beside/design.py": {"any": "prints on a table; triplets that have every pair of so many"},
    "beside/triangle.py": {3: "sheets", 0.5: "of all observers", 0.05: "the usual level of a table"},
    "beside/likelihood.py": {"any": "the 75 % of a JND, a grid"},
    "beside/scaling.py": {"any": "steps of a solution, 95 %"},
    "beside/tastes.py": {"any": "a grid, 95 %, of normal distributions"},
    "observers/agreement.py": {
        1979: "a seed",
        1: "one grade; the least that vary",
        2: "the least that vary",
        0.025: "95 %",
        0.975: "95 %",
    },
    "several.py": {"any": "Student's t, a table"},
    "caveats.py": {60: "seconds of a minute", 2: "half of the wait"},
    "clues/departs.py": {3.0: "of the cube root of CIELAB", 16.0: "of CIELAB", 1e-9: "never divided by 0"},
    "clues/departure.py": {
        3: "channels of a file, axes of CIELAB",
        15: "rounds until a fit no longer changes",
        16.0: "of CIELAB",
        1e-9: "never divided by 0",
        1e-3: "never divided by 0",
    },
    "clues/explained.py": {
        3: "the degree of a cubic",
        4: "neighbours",
        115.0: "L* that ink is a share of, as darkness",
        0.5: "half a period",
        1e-9: "never divided by 0",
    },
    "clues/eye.py": {3600: "seconds of an hour"},
    "clues/fit.py": {50: "middle of L*"},
    "clues/greys.py": {3: "thirds of a scale"},
    "clues/inks.py": {3: "kinds of change"},
    "clues/measured.py": {
        100: "percent",
        10: "rounds until a line no longer moves",
        1e-6: "never divided by 0",
    },
    "clues/measures.py": {3: "axes of CIELAB"},
    "clues/readings.py": {3: "axes of CIELAB", 1e-6: "never divided by 0", 0.5: "square root"},
    "clues/shadows.py": {100: "percent", 3: "neighbours that are taken together", 1e-3: "a step of no size"},
    "clues/whole.py": {0.5: "square root", 3: "axes of CIELAB"},
    "codec.py": {256: "of a cache"},
    "combine.py": {0.5: "square root"},
    "read_against.py": {1e-12: "rounding of floats"},
    "crossover.py": {0.5: "half way"},
    "eye.py": {0.5: "square root", 12: "1/12, variance of rounding to whole grades"},
    "growing.py": {1980: "a seed"},
    "greys_compared.py": {
        1979: "a seed",
        3: "axes of CIELAB",
        1e-9: "never divided by 0",
        1e-12: "rounding of floats",
    },
    "neutrality_record.py": {95: "a percentile with its name", 50: "middle of L*", 3: "axes of CIELAB"},
    "null.py": {1979: "a seed", 3: "axes of CIELAB", 16: "of CIELAB", 12: "of a cache"},
    "pairs.py": {100: "L* of paper", 1: "a ramp of one step"},
    "posterior.py": {1987: "a seed", 8: "of a cache"},
    "repeatability.py": {
        1979: "a seed",
        8: "sqrt(8 / pi)",
        3: "axes of CIELAB",
    },
    "table_rows.py": {5.0: "the scale of ITU-R BT.500", 4.0: "likewise", 3.0: "likewise"},
    "rules.py": {"any": "the version"},
    "standing.py": {0.05: "half of the digit that is shown"},
    "toning.py": {180: "half a turn", 360: "a turn"},
    "verdict.py": {1e-9: "rounding of floats"},
    "voices.py": {4.95: "shown as 5.0"},
    "override.py": {"any": "what a value can mean at all, by its unit: no limit of a print"},
}


def numbers(path: Path) -> Iterator[tuple[int, float]]:
    """Line and value of every number in code that may be a limit."""
    tree = ast.parse(path.read_text("utf-8"))
    compared = {
        id(constant)
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare) and not _counts(node)
        for part in (node.left, *node.comparators)
        for constant in _outermost(part)
    }
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or isinstance(node.value, bool):
            continue
        if not isinstance(node.value, int | float) or (node.value in PLAIN and id(node) not in compared):
            continue
        if node.value != 0:
            yield node.lineno, node.value


def _outermost(part: ast.expr) -> Iterator[ast.Constant]:
    """Numbers that a side of a comparison is, or that are added to it or multiply it."""
    if isinstance(part, ast.Constant):
        yield part
    elif isinstance(part, ast.BinOp):
        yield from _outermost(part.left)
        yield from _outermost(part.right)


def _counts(node: ast.Compare) -> bool:
    """Whether something is counted there: a length, a size, the number of viewings."""
    text = ast.unparse(node)
    return bool(re.search(r"\blen\(|\.size\b|\bn\b|\bcount\b|\.viewings\b|freedom|\breadings <", text))


def test_no_limit_stands_in_code() -> None:
    found = []
    for path in sorted(ROOM.rglob("*.py")):
        name = path.relative_to(ROOM).as_posix()
        known = REASONED.get(name, {})
        found += [
            f"{name}:{line}: {value}"
            for line, value in numbers(path)
            if value not in known and "any" not in known
        ]
    assert not found, "into judgement/tables, or with a reason into REASONED: " + "; ".join(found)


def test_every_reason_is_still_needed() -> None:
    for name, known in REASONED.items():
        values = {value for _, value in numbers(ROOM / name)}
        assert "any" in known or set(known) <= values, name


def _rows(tables: Tables) -> Iterator[tuple[str, str]]:
    yield from (("thresholds", name) for name in tables.thresholds)
    yield from (("clues", name) for name in tables.clues)


def test_no_name_is_in_both_tables_and_every_row_is_whole() -> None:
    assert not set(TABLES.thresholds) & set(TABLES.clues)
    for row in (*TABLES.thresholds.values(), *TABLES.clues.values(), *TABLES.routine.values()):
        assert row.unit and row.note and row.mark in ("READ", "COMPUTED", "MEMORY", "own"), row.name


def test_every_limit_is_used_somewhere_in_the_house() -> None:
    """By its name in quotation marks, or as a field of the limits that metrics work with."""
    code = "\n".join(path.read_text("utf-8") for path in (ROOM.parent).rglob("*.py"))
    fields = set(Limits.__dataclass_fields__)
    unused = [name for _, name in _rows(TABLES) if f'"{name}"' not in code and name not in fields]
    assert not unused


@pytest.mark.parametrize("section, name", list(_rows(TABLES)))
def test_a_changed_limit_is_in_force_named_and_changes_the_digest(section: str, name: str) -> None:
    row = (TABLES.thresholds if section == "thresholds" else TABLES.clues)[name]
    low, high = span(row.unit)
    other = high if row.value != high else low
    changed = load_tables(f"[{section}]\n{name} = {other:g}\n")
    assert changed[name] == other != TABLES[name]
    assert changed.overridden == (f"{section}.{name}",)
    assert changed.digest != TABLES.digest


def test_the_clocks_that_run_without_the_tables_are_those_of_the_tables() -> None:
    """Home reads no tables before its first frame; its defaults stand in `progress` as well."""
    assert timedelta(hours=TABLES["drying_wait"]) == USUAL.drying
    assert timedelta(minutes=TABLES["adaptation"]) == USUAL.adaptation
    assert timedelta(days=TABLES.routine["reference_every"].value) == USUAL.references


def test_the_words_of_a_clue_give_the_limits_in_force() -> None:
    """Every limit that a clue's words name exists, and the user's value stands in them."""
    rows = [one for row in TABLES.causes for one in (*row.evidence_for, *row.evidence_against)]
    for one in rows:
        for _, field, _, _ in string.Formatter().parse(one.say):
            assert (
                field in (None, *Explained(0, 0, 0, 0, 0, "along", 0, 0).words) or TABLES[field] is not None
            )
    told = next(one for one in rows if one.name == "black_weak")
    assert told.sentence(TABLES) == "the black is lighter than the profile's by more than D 0.2"
    mine = load_tables("[clues]\nblack_apart = 0.35\n")
    assert told.sentence(mine) == "the black is lighter than the profile's by more than D 0.35"


def test_no_number_stands_in_the_words_of_a_clue() -> None:
    """But for names: M2, D, b*, dE00, the scale of 100 mm."""
    for row in TABLES.causes:
        for one in (*row.evidence_for, *row.evidence_against):
            bare = re.sub(r"\{[^}]*\}|dE00|M\d|100 mm", "", one.say)
            assert not re.search(r"\d", bare), one.say


def test_every_clue_says_what_it_answers() -> None:
    """Each begins with what is so when it answers True."""
    for module in MODULES:
        for name, value in vars(module).items():
            own = getattr(value, "__module__", "") == module.__name__ and not name.startswith("_")
            if own and getattr(value, "__annotations__", {}).get("return") == (bool | None):
                assert (value.__doc__ or "").startswith("Whether "), f"{module.__name__}.{name}"
