"""Pages and words of each kind of article of the demo, so that it stays short enough to be read.

The limits are the project's own choice: a little above what the demo takes, with all that stands in it.
"""

import io
import re
from dataclasses import replace

import pypdf
import pytest

from evaluation.appendix import pdf
from evaluation.appendix.case import Choices
from evaluation.appendix.document import Departure, Multiples, Opening, Points, walked
from evaluation.archive.connection import open_archive
from evaluation.telling.table import Table
from evaluation.work.bench import Bench
from evaluation.work.write_up import write_up

# sessions, parts: pages on A4, pages on Letter, words of the whole, words of page 1
BUDGETS = [
    pytest.param((1,), "article", 4, 4, 1650, 420, marks=pytest.mark.long),
    ((1,), "summary", 1, 1, 330, 330),
    pytest.param((1, 2, 3, 4, 5, 6), "summary", 1, 1, 500, 500, marks=pytest.mark.long),
    pytest.param((1, 2, 3), "summary", 1, 1, 500, 500, marks=pytest.mark.long),
    pytest.param((1,), "whole", 14, 14, 8800, 420, marks=pytest.mark.long),
    pytest.param((1, 2, 3, 4, 5, 6), "article", 4, 4, 1600, 460, marks=pytest.mark.long),
    pytest.param((2, 3), "article", 3, 3, 1300, 400, marks=pytest.mark.long),
    pytest.param((2, 3), "neutrality", 2, 3, 900, 520, marks=pytest.mark.long),
    pytest.param((2,), "neutrality", 2, 2, 800, 420, marks=pytest.mark.long),
]
_WORD = re.compile(r"[^\W\d_]{2,}")


def leading(document):
    """Texts that lead into something: of headings, tables, figures and lists."""
    found = {section.title for section in walked(document.sections)}
    for block in document.blocks():
        match block:
            case Table() | Departure():
                found.add(block.title)
            case Points():
                found.add(f"{block.lead}:")
            case Multiples():
                found |= {each.title for each in block.figures}
    return found


@pytest.mark.parametrize(("ids", "parts", "pages", "on_letter", "words", "first"), BUDGETS)
def test_an_article_of_the_demo_keeps_to_its_pages_and_words(
    demo_archive, ids, parts, pages, on_letter, words, first
):
    with open_archive(demo_archive, read_only=True) as archive:
        document = write_up.appendix(Bench(archive), ids, Choices(parts))
    letter = pdf.render(replace(document, paper="us-letter")).content
    assert len(pypdf.PdfReader(io.BytesIO(letter)).pages) <= on_letter
    read = pypdf.PdfReader(io.BytesIO(pdf.render(document).content))
    counts = [len(_WORD.findall(page.extract_text())) for page in read.pages]
    assert len(counts) <= pages and sum(counts) <= words and counts[0] <= first
    for page in read.pages:  # nothing that leads into something stands alone at the foot
        *_, last, _ = page.extract_text().splitlines()  # behind it the footer
        assert last.strip() not in leading(document), last
    for block in document.blocks():
        match block:
            case Opening(reasons=reasons, mind=mind):
                assert all(len(_WORD.findall(f"{claim} {evidence}")) <= 110 for claim, evidence in reasons)
                assert len(_WORD.findall(mind)) <= 40
            case Departure(told=told):
                assert len(told) <= 3 and len(_WORD.findall(" ".join(told))) <= 110
