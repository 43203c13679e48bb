"""Markdown, read back by a Markdown reader (markdown-it-py, CommonMark 0.31 with GitHub's tables)."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from evaluation.appendix import content, markdown
from evaluation.telling.figure import Figure
from evaluation.telling.table import Table
from tests.cases import some_now

READER = MarkdownIt("gfm-like", {"html": True, "linkify": False})
HOSTILE = [
    "</script><script>alert(1)</script>",
    "a|b\n| --- |\n|c|",
    '#import "x.typ": *',
    "# heading",
    "1. one",
    "- minus",
    "[link](javascript:alert(1))",
    "![x](y)",
    "`code` ~~struck~~ **bold** _thin_",
    "&lt;b&gt; & &#65;",
    "https://example.org www.example.org",
    "紙、写真用",
    "נייר צילום",
    "a\\|b\\",
    "$x^2$",
]


TEXT = ("text", "text_special", "code_inline")


def plain(tokens):
    return "".join(
        token.content
        if token.type in ("text", "text_special", "code_inline")
        else plain(token.children or [])
        for token in tokens
    )


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_and_foreign_text_is_read_back_as_it_was(text):
    tokens = READER.parse(f"- {markdown.escaped(text)}")
    assert plain(tokens) == " ".join(text.split())


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp"]), max_size=60))
def test_any_text_in_a_table_cell_is_read_back_as_it_was(text):
    block = Table("caption", ("one", "two"), ((text, "end"),))
    tokens = READER.parse("\n".join(markdown._table(block)))
    cells = [tokens[i + 1] for i, token in enumerate(tokens) if token.type == "td_open"]
    assert [plain([cell]) for cell in cells] == [" ".join(text.split()), "end"]


@pytest.mark.parametrize("text", some_now(HOSTILE, *HOSTILE[::5]))
def test_a_hostile_paper_name_makes_no_markup_anywhere(case, edition, text):
    condition = replace(case.session.condition, paper=text)
    document = content.build((replace(case, session=replace(case.session, condition=condition)),), edition)
    tokens = READER.parse(markdown.render(document))
    kinds = {child.type for token in tokens for child in (token, *(token.children or []))}
    assert not kinds & {"html_block", "html_inline", "link_open", "image", "fence", "code_block", "s_open"}


def test_every_table_is_read_as_a_table_with_all_its_cells(case, edition):
    document = content.build((case,), edition)
    blocks = tuple(document.blocks())
    tables = [markdown.numbers(block) for block in blocks if isinstance(block, Figure)]
    tables += [block for block in blocks if isinstance(block, Table)]
    tokens = READER.parse(markdown.render(document))
    alone = {plain([token]) for token in tokens if token.type == "inline"}
    figures = [block for block in blocks if isinstance(block, Figure)]
    assert figures and all({one.title, " ".join(one.alt.split())} <= alone for one in figures), (
        "two paragraphs"
    )
    assert sum(token.type == "table_open" for token in tokens) == len(tables)
    assert sum(token.type == "td_open" for token in tokens) == sum(
        len(row) for table in tables for row in table.rows
    )


def test_headings_follow_the_sections(case, edition):
    tokens = READER.parse(markdown.render(content.build((case,), edition)))
    levels = [int(token.tag[1]) for token in tokens if token.type == "heading_open"]
    assert levels[0] == 1 and all(after - before <= 1 for before, after in pairwise(levels))
