"""A house style: what it sets, and that it can neither fetch nor break out of its place."""

from dataclasses import replace

import pytest

from evaluation.appendix import content, html, markdown, pdf
from evaluation.appendix.style import read_style
from evaluation.errors import SheetProblem

HOUSE = """
[house]
name = "Nettlewick <Print> Room"
paper = "us-letter"
text = ["House Serif", "House Text"]
headings = ["House Sans"]
css = "h1 { font-weight: 500 }"
"""


def test_a_style_sets_name_paper_families_and_rules():
    style = read_style(HOUSE, "house.toml")
    assert (style.house, style.paper) == ("Nettlewick <Print> Room", "us-letter")
    assert style.css.splitlines() == [
        'body { font-family: "House Serif", "House Text", serif; }',
        'h1, h2, h3, h4 { font-family: "House Sans", serif; }',
        "h1 { font-weight: 500 }",
    ]


def test_a_css_file_is_a_style_as_it_is():
    assert read_style("p { color: #222 }\n", "house.css").css == "p { color: #222 }"


@pytest.mark.long
def test_the_name_of_the_house_stands_above_the_title_in_every_form(case, edition):
    document = content.build((case,), replace(edition, style=read_style(HOUSE, "house.toml")))
    assert "Nettlewick &lt;Print&gt; Room</p>" in html.render(document)
    assert markdown.render(document).startswith("Nettlewick &lt;Print&gt; Room\n\n# Review")
    assert b"/MediaBox[0 0 612 792]" in pdf.render(document).content.replace(b" [", b"[")


@pytest.mark.parametrize(
    "css",
    [
        "@import 'x.css';",
        "p { background: url(https://example.org/x) }",
        "p { background: url( '//example.org/x') }",
        "p { background: image-set('x.png' 1x) }",
        "</style><script>",
        "<!-- -->",
    ],
)
def test_a_style_that_fetches_or_leaves_its_place_is_refused_with_its_line(css):
    with pytest.raises(SheetProblem, match=r"house\.css, line 2 of the style"):
        read_style(f"p {{}}\n{css}", "house.css")


def test_pictures_given_as_data_are_let_through():
    css = "p { background: url(data:image/png;base64,AAAA) }"
    assert read_style(css, "house.css").css == css


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[house]\npaper = "a5"', "house.paper: expected one of"),
        ("[house]\nink = 3", "house.ink: unknown key"),
        ('[house]\ntext = ["a; } body { x"]', "house.text"),
        ("[house", "house.toml"),
    ],
)
def test_mistakes_are_named_by_their_key_path(text, told):
    with pytest.raises(SheetProblem) as caught:
        read_style(text, "house.toml")
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("text", "where", "expected"),
    [
        ("", "empty.toml", "name, paper, text, headings or css"),
        ("# nothing\n[house]\n", "house.toml", "name, paper, text, headings or css"),
        (" \n", "house.css", "rules of CSS"),
    ],
)
def test_a_style_that_sets_nothing_is_told(text, where, expected):
    with pytest.raises(SheetProblem, match=rf"{where}\. Expected: .*{expected}\. Found: nothing of it"):
        read_style(text, where)
