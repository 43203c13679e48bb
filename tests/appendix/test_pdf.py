"""PDF: tagged, inert to hostile text, the same bytes again, honest about letters it cannot show."""

import builtins
import io
import json
from dataclasses import replace

import pypdf
import pytest

from evaluation.appendix import content, pdf
from evaluation.appendix.case import Choices
from evaluation.appendix.document import canonical
from evaluation.errors import DrydownError
from tests.cases import some_now

HOSTILE = [
    '#import "@preview/x:1.0.0": *',
    "#panic()",
    "*b* _i_ $x^2$ `c` <label> @ref [/a] \\ // /* --",
    '#read("/etc/passwd")',
]


def with_paper(case, edition, paper):
    """The summary alone: setting the whole is tested below."""
    edition = replace(edition, choices=Choices("summary"))
    condition = replace(case.session.condition, paper=paper)
    return content.build((replace(case, session=replace(case.session, condition=condition)),), edition)


@pytest.fixture(scope="module")
def document(case, edition):
    return content.build((case,), edition)


@pytest.fixture(scope="module")
def pages(document):
    return pdf.render(document)


def reader(pages):
    return pypdf.PdfReader(io.BytesIO(pages.content))


def text_of(pages):
    return " ".join(" ".join(page.extract_text() for page in reader(pages).pages).split())


def test_it_is_tagged_titled_and_says_its_language(pages):
    root = reader(pages).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and "/StructTreeRoot" in root and root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader(pages).metadata.title == "Review appendix: Brackmoor Rag 293"


def test_it_says_that_it_keeps_to_pdf_ua_1(pages):
    # ISO 14289-1, clause 5: the identification in the metadata of the document.
    metadata = reader(pages).trailer["/Root"]["/Metadata"].get_data()
    assert b"pdfuaid:part" in metadata and pages.accessible and pages.remark == ""


def test_tables_headings_and_figures_are_tags_and_every_figure_has_its_words(pages):
    kinds, untold = [], []

    def walk(node):
        node = node.get_object()
        if isinstance(node, list):
            for part in node:
                walk(part)
        elif isinstance(node, dict):
            kinds.append(node.get("/S"))
            if node.get("/S") == "/Figure" and not node.get("/Alt"):
                untold.append(node)
            if "/K" in node:
                walk(node["/K"])

    walk(reader(pages).trailer["/Root"]["/StructTreeRoot"])
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/Figure"} <= set(kinds) and not untold


def test_the_words_of_the_tree_stand_on_the_pages(pages):
    text = text_of(pages)
    assert "Incomplete for portraits: skin tones are not graded." in text
    assert "none: where eye and instrument disagree no mean is shown" in text


@pytest.mark.parametrize("text", some_now(HOSTILE, *HOSTILE[::4]))
def test_hostile_text_is_set_as_text(case, edition, text):
    pages = pdf.render(with_paper(case, edition, text))
    assert pages.accessible
    assert "".join(text.split()) in "".join(text_of(pages).split())


@pytest.mark.parametrize("text", ["Χαρτί ματ", "Бумага матовая", "נייר מט", "Papír – œuvre ﬁne Łódź"])
def test_greek_cyrillic_hebrew_and_european_latin_have_their_letters(case, edition, text):
    assert pdf.render(with_paper(case, edition, text)).remark == ""


@pytest.mark.parametrize("paper", ["נייר צילום מט 310", "ورق قطن مات"])
def test_a_name_from_right_to_left_leaves_the_foot_as_it_is(case, edition, paper):
    """The title at the left edge, the number of the page at the right one, in its order."""
    pages = pdf.render(with_paper(case, edition, paper))
    assert pages.standard == "ua-1" or "show as boxes" in pages.remark
    placed = []
    reader(pages).pages[0].extract_text(
        visitor_text=lambda text, cm, tm, *_: (
            placed.append((cm[4] + tm[4], text)) if "1 / 1" in text else None
        )
    )
    assert placed and all(x > 500 for x, _ in placed)


def test_a_name_without_spaces_stays_on_the_page(case, edition):
    lines = (
        reader(pdf.render(with_paper(case, edition, "Kartonage" * 20))).pages[0].extract_text().splitlines()
    )
    broken = [line.strip() for line in lines if "Kartonage" in line and " " not in line.strip()]
    assert len(broken) > 4 and max(map(len, broken)) <= 120  # as many small letters as fit


def test_a_control_character_is_set_in_caret_notation(case, edition):
    pages = pdf.render(with_paper(case, edition, "a\x1b[31m\x07b\x7f"))
    assert pages.accessible and "a^[[31m^Gb^?" in text_of(pages)


def test_letters_without_a_glyph_are_said(case, edition):
    # Linear B: in no font that comes along, nor likely on this computer.
    pages = pdf.render(with_paper(case, edition, "\U00010080\U00010081"))
    assert ("not PDF/UA-1" in pages.remark) is not pages.accessible
    assert pages.accessible or "show as boxes" in pages.remark


@pytest.mark.long
def test_the_same_document_gives_the_same_bytes(document, pages):
    assert pdf.render(document) == pages


def test_the_content_is_attached(document, pages):
    (attached,) = reader(pages).attachments["content.json"]
    assert attached.decode("utf-8") == canonical(document)
    assert json.loads(attached)["title"] == document.title


def test_where_typst_is_missing_a_sentence_points_to_html(document, monkeypatch):
    real = builtins.__import__

    def without_typst(name, *rest):
        if name == "typst":
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without_typst)
    with pytest.raises(DrydownError, match=r"Found: none for this kind of computer\. .* Write it as HTML"):
        pdf.render(document)
