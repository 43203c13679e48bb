"""The page: valid by html5lib's strict parser, self-contained, its text and numbers those of the tree."""

import json
import re
from dataclasses import replace
from importlib.resources import files

import html5lib
import pytest
from coloraide import Color

from evaluation.appendix import content, html, html_blocks
from evaluation.appendix.case import Choices
from evaluation.appendix.document import Facts, Multiples, Opening, Paragraph, Section, canonical, walked
from evaluation.appendix.drawing.marks import SOFT
from evaluation.telling.figure import Figure
from evaluation.telling.table import Table
from evaluation.work.write_up import write_up
from tests.cases import some_now

NS = "{http://www.w3.org/1999/xhtml}"
HOSTILE = [
    "</script><script>alert(1)</script>",
    "<!-- <img src=x onerror=alert(1)>",
    "\"' onmouseover=alert(1) &quot;",
    "]]></style><b>",
    "紙、写真用 / נייר צילום / Χαρτί / Бумага",
    '<code id="seal"></code>',
]


def parsed(page):
    """The page as a tree; html5lib raises in strict mode on any parse error of the HTML standard."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=True).parse(page)


def text_of(element):
    return "".join(element.itertext())


@pytest.fixture(scope="module")
def document(case, edition):
    return content.build((case,), edition)


def with_paper(case, edition, paper):
    condition = replace(case.session.condition, paper=paper)
    return content.build((replace(case, session=replace(case.session, condition=condition)),), edition)


def test_the_page_is_valid(document):
    parsed(html.render(document))


@pytest.mark.parametrize("text", some_now(HOSTILE, *HOSTILE[::4]))
def test_hostile_and_foreign_text_stays_text(case, edition, text):
    page = html.render(with_paper(case, edition, text))
    tree = parsed(page)
    scripts = tree.findall(f".//{NS}script")
    assert [script.get("type") for script in scripts] == ["application/json"]
    assert not tree.findall(f".//{NS}img") and not tree.findall(f".//{NS}b")
    assert text_of(tree.find(f".//{NS}h1")) == f"Review appendix: {text}"


def test_nothing_is_fetched_and_nothing_runs(document):
    page = html.render(document)
    tree = parsed(page)
    for element in tree.iter():
        for name, value in element.attrib.items():
            assert not name.startswith("on")
            if name.rpartition("}")[2] in ("src", "href", "data", "action"):
                assert value.startswith(("#", "data:"))
    style = text_of(tree.find(f".//{NS}style"))
    assert re.findall(r"url\((?!data:font/woff2;base64,)", style) == [] and "@import" not in style
    policy = tree.find(f".//{NS}meta[@http-equiv]").get("content")
    assert "default-src 'none'" in policy and "font-src data:;" in policy


def test_text_and_figures_are_set_in_the_face_that_stands_in_the_page(document):
    page = html.render(document)
    faces = re.findall(r"@font-face \{ font-family: \"(.+?)\"; font-weight: (\d+); font-style: (\w+)", page)
    name = "Libertinus Serif"
    assert faces == [(name, "400", "normal"), (name, "600", "normal"), (name, "400", "italic")]
    assert f'--face: "{name}"' in page and f'font-family="{name}, ' in page
    folder = files("evaluation.appendix").joinpath("faces")
    kept = {each.name: each.read_bytes() for each in folder.iterdir() if each.name.endswith(".woff2")}
    assert len(kept) == 3 and all(one[:4] == b"wOF2" and len(one) < 45_000 for one in kept.values())
    licence = folder.joinpath("OFL.txt").read_text("utf-8")
    assert "SIL OPEN FONT LICENSE" in licence and "The Libertinus Project Authors" in licence


def test_every_ink_keeps_its_contrast_on_the_paper_of_each_scheme(document):
    """WCAG 2.2, 1.4.3: at least 4.5 to 1 for text; also for what stands back in figures."""
    schemes = re.findall(r":root \{([^}]+)\}", html.render(document))
    assert len(schemes) == 3  # light, dark, print
    for scheme in schemes:
        inks = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", scheme))
        paper, ink = Color(inks["paper"]), Color(inks["ink"])
        soft = Color.mix(paper, ink, SOFT, space="srgb")
        for told in (ink, Color(inks["ink-2"]), Color(inks["flag"]), soft):
            assert told.contrast(paper) >= 4.5, (scheme, told)


def test_a_wide_table_of_numbers_slides_under_the_keyboard_and_one_of_words_becomes_lines():
    numbers = Table(
        "N", ("step", *(f"L{k}" for k in range(9))), (("grey", *("+10.25",) * 9),), tuple(range(1, 10))
    )
    words = Table("W", ("region", "seen", "read"), (("skin", "calm", "near"),))
    few = Table("F", ("step", "L*"), (("grey", "50"),), (1,))
    beside = "".join(html_blocks._table(few, room=6))  # in the column of a figure
    assert 'tabindex="0"' in beside
    made = ["".join(html_blocks._table(each)) for each in (numbers, words, few)]
    assert ['tabindex="0"' in each for each in made] == [True, False, False]
    assert ['class="hint"' in each for each in made] == [True, False, False]
    assert 'class="stack short"' in made[1] and 'data-label="read"' in made[1]


def test_a_name_from_right_to_left_does_not_turn_a_sentence_of_ours():
    name = "1 נייר צילום"
    drawn = Figure("f", name, "", "", "", (), caption="Ends fall short.", size="S")
    blocks = [
        Opening(((f"{name}:", " accepted."),), ((name, "Alike."),), f"{name}: see below."),
        Multiples(f"{name} is furthest off.", (drawn,)),
        Table(name, ("print", "black"), ((name, "2.5"),), right=(1,)),
    ]
    page = "\n".join(line for each in blocks for line in html_blocks._block(each))
    lines = [line for line in page.splitlines() if name in line and "<td" not in line]
    assert len(lines) >= 6 and not [line for line in lines if 'dir="auto"' in line]


def test_contents_are_listed_from_eight_screens_on(case, edition):
    article = content.build((case,), replace(edition, choices=Choices("article")))
    assert html.screens(article) < 8 and "<nav" not in html.render(article)
    more = Section("more", "More", (Paragraph("word " * 2200),))
    assert "<nav" in html.render(replace(article, sections=(*article.sections, more)))


def test_every_reference_within_the_page_has_its_place_and_every_id_is_unique(archive_bench):
    page = html.render(write_up.appendix(archive_bench, [1]))
    tree = parsed(page)
    ids = [element.get("id") for element in tree.iter() if element.get("id")]
    assert len(ids) == len(set(ids)) and not any(" " in name for name in ids)
    referred = {
        value[1:]
        for element in tree.iter()
        for name, value in element.attrib.items()
        if name.rpartition("}")[2] == "href" and value.startswith("#")
    }
    referred |= set(re.findall(r"url\(#([^)]+)\)", page))
    referred |= {element.get("aria-labelledby") for element in tree.iter() if element.get("aria-labelledby")}
    assert referred <= set(ids)


def test_the_embedded_content_is_the_tree(document):
    (script,) = parsed(html.render(document)).findall(f".//{NS}script")
    assert text_of(script) == canonical(document)
    assert json.loads(text_of(script))["findings"] == [{"session": 4}]


def test_all_tables_and_facts_of_the_tree_stand_in_the_page(document):
    tree = parsed(html.render(document))
    cells = {text_of(cell) for tag in ("td", "th", "dt", "dd") for cell in tree.iter(f"{NS}{tag}")}
    for block in document.blocks():
        if isinstance(block, Table | Facts):
            assert {cell for row in block.rows for cell in row} <= cells


def test_headings_name_every_section_in_order(document):
    tree = parsed(html.render(document))
    sections = [each.get("id") for each in tree.iter(f"{NS}section")]
    assert sections == [section.id for section in walked(document.sections)]


def test_the_same_document_gives_the_same_bytes_and_another_date_changes_only_itself(document):
    first, again = html.render(document), html.render(document)
    assert first == again
    later = html.render(replace(document, written="25 Nov 2026, 09:00 UTC"))
    seals = re.compile(r'(?<=id="seal">)[0-9a-f]{64}|(?<=data-digest=")[0-9a-f]{64}')
    assert seals.sub("", later).replace("25 Nov 2026, 09:00", "24 Nov 2026, 14:31") == seals.sub("", first)


def test_a_house_style_comes_after_the_page_s_own(document):
    page = html.render(document, css="h1 { color: #202040; }")
    assert page.index("h1 { color: #202040; }") > page.index("@media print")
