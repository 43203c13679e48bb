"""On which line a key path stands, and what is no TOML in our words."""

import re
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation import keyed
from evaluation.errors import SheetProblem
from evaluation.sheet.load import map_text
from evaluation.toml_lines import line_of, lines_of, syntax

TEXT = """\
# a comment with = and [
title = "a [quoted] # text" # tail
"odd key".b = 1

[passport]
source = \'\'\'
two = lines
[[not.a.table]]
\'\'\'

[[region]]
id = "neutral"
area = [0.0,
  0.5, # half
  1.0]

[[region.question]]
id = "first"
[[region.question]]
id = "second"

[[region]]
id = "skin"
[[region.question]]
ask = "say \\"when\\""

[last]
patch = [
  { id = "N01", source = [0, 0, 0] },
  { id = "N02", source = [1, 2, 3] },
]
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("title", 2),
        ("odd key.b", 3),
        ("passport", 5),
        ("passport.source", 6),
        ("region[0].id", 12),
        ("region[0].area[1]", 14),
        ("region[0].question[1].id", 20),
        ("region[1].question[0].ask", 25),
        ("last.patch[1].source[2]", 30),
    ],
)
def test_every_key_has_its_line(path: str, line: int) -> None:
    tomllib.loads(TEXT)
    assert lines_of(TEXT)[path] == line


def test_what_a_text_holds_is_no_key() -> None:
    assert not any("not" in path or "two" in path for path in lines_of(TEXT))


@pytest.mark.parametrize(
    ("path", "line"), [("region[1].area", 22), ("last.patch[0].name", 29), ("none", None)]
)
def test_a_missing_key_is_missed_in_its_table(path: str, line: int | None) -> None:
    assert line_of(lines_of(TEXT), path) == line


def test_every_path_of_a_large_map_is_found_where_it_stands() -> None:
    text = map_text("colour-9")
    lines = lines_of(text)
    rows = text.splitlines()
    for index, patch in enumerate(tomllib.loads(text)["patch"]):
        assert f'id = "{patch["id"]}"' in rows[lines[f"patch[{index}].id"] - 1]


def test_mistakes_are_told_with_their_lines() -> None:
    top = keyed.parsed("a = 1\n\n[[patch]]\nb = true\n", "mine.toml", what="Nothing was kept.")
    for patch in top.tables("patch"):
        patch.text("name")
        patch.number("b", low=0, high=1)
    top.only()
    with pytest.raises(SheetProblem) as caught:
        top.finish()
    sentence = caught.value.sentence
    assert "line 3, patch[0].name: missing" in sentence
    assert "line 4, patch[0].b: expected a number" in sentence
    assert "line 1, a: unknown key" in sentence


_VALUES = st.recursive(
    st.one_of(
        st.integers(-99, 99).map(str),
        st.booleans().map(lambda yes: str(yes).lower()),
        st.sampled_from(
            ['"a"', '"]"', '"\\\\"', "'}'", '"""x\n"y"""', "'''\n]\n'''", "1979-05-27 07:32:00", "1e3"]
        ),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: "[" + ",\n".join(items) + "]"),
        st.lists(inner, max_size=3).map(
            lambda items: "{" + ", ".join(f"k{n} = {item}" for n, item in enumerate(items)) + "}"
        ),
    ),
    max_leaves=8,
)


@given(st.lists(_VALUES, max_size=5))
def test_any_toml_is_walked_to_its_end(values: list[str]) -> None:
    text = "".join(f"key{n} = {value}\n" for n, value in enumerate(values)) + "end = 1\n"
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    assert lines_of(text)["end"] == text.count("\n")


@pytest.mark.parametrize(
    ("text", "place", "found"),
    [
        ("a 1", "line 1, column 3", "a key without an equals sign"),
        ("\na = x", "line 2, column 5", "without quotation marks"),
        ("a = 'x", "at its end", "closing quotation mark"),
        ("a = 'x\n'", "line 1, column 7", "a character that may not stand there"),
        ("a = [1,", "at its end", "closing bracket|no value"),
        ("a = {b = 1", "at its end", "closing brace"),
        ("[a\nb = 1", "line 1, column 3", "closing bracket"),
        ("[[a]\nb = 1", "line 1, column 4", "closing bracket"),
        ("a = 1 2", "line 1, column 7", "more after the end"),
        ("a = 1\na = 2\n", "line 2, column 6", "occurs before"),
        ("[a]\n[a]", "line 2, column 3", "occurs before"),
        ("a = {b = 1, b = 2}", "line 1, column 18", "occurs before"),
        ('a = "\\q"', "line 1, column 8", "a backslash"),
        ("a = 2026-02-30", "line 1, column 5", "a date or time"),
        ("= 1", "line 1, column 1", "neither a key nor a table"),
        ("[= 1", "line 1, column 2", "a key that does not begin"),
        ("a = 1\x07", "line 1, column 6", "more after the end|may not stand"),
    ],
)
def test_what_is_no_toml_is_told_in_our_words(text: str, place: str, found: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError) as caught:
        tomllib.loads(text)
    where, what = syntax(str(caught.value))
    assert re.search(found, what), what
    assert where == place
