"""The page: valid by html5lib's strict parser, self-contained, its text and numbers those of the tree."""

import json
import re
from dataclasses import replace

import html5lib
import pytest

from evaluation.appendix import content, html
from evaluation.appendix.document import Facts, canonical, walked
from evaluation.telling.table import Table
from evaluation.work.write_up import write_up

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


@pytest.mark.parametrize("text", HOSTILE)
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
    assert "url(" not in style and "@import" not in style
    assert "default-src 'none'" in tree.find(f".//{NS}meta[@http-equiv]").get("content")


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
