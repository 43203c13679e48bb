"""Several sessions: each against the base, in the long words, with the sentence for the review."""

import pytest

from evaluation.appendix.comparison import Compared, Comparison, compared
from evaluation.appendix.document import Paragraph, Points
from evaluation.judgement.compare import Difference
from evaluation.telling.table import Table


@pytest.fixture(scope="module")
def section():
    rows = (
        Compared("Skin tones", (4.4, 3.72), (None, Difference("skin", 1, 4, -0.68, True, "large"))),
        Compared("Saturation", (4.1, 4.3), (None, Difference("saturation", 1, 4, 0.2, True, "measured"))),
        Compared("Even tints", (4.5, 4.5), (None, Difference("tints", 1, 4, 0.0, False, "alike"))),
        Compared(
            "Shadow detail",
            (4.4, None),
            (None, Difference("shadow", 1, 4, None, False, "not comparable", "eye and readings disagree")),
        ),
    )
    return compared(
        Comparison(1, (1, 4), ("Lustre 247", "Rag 293"), rows, "Compared: both.", (), ("no copies",))
    )


def test_each_cell_has_grade_difference_and_word(section):
    table = next(block for block in section.blocks if isinstance(block, Table))
    assert table.heads == ("region", "1, Lustre 247 (base)", "4, Rag 293")
    assert [row[1:] for row in table.rows] == [
        ("4.4", "3.7 (−0.68), large"),
        ("4.1", "4.3 (+0.20), measured"),
        ("4.5", "4.5 (0.00), alike"),
        ("4.4", "–, not comparable"),
    ]


def test_what_cannot_be_compared_says_why(section):
    reasons = next(block for block in section.blocks if isinstance(block, Points))
    assert reasons.items == ("Eye and readings disagree: shadow detail.",)


def test_caveats_come_last(section):
    paragraphs = [(block.role, block.text) for block in section.blocks if isinstance(block, Paragraph)]
    assert paragraphs[-1] == ("caution", "No copies.")


def test_more_than_a_page_holds_stands_in_several_tables_with_the_base_in_each():
    sessions = (3, 1, 2, 4, 5, 6, 7)
    alike = tuple(None if k == 1 else Difference("skin", 1, k, 0.0, False, "alike", "") for k in sessions)
    row = Compared("Skin tones", (4.0,) * 7, alike)
    section = compared(Comparison(1, sessions, ("Paper",) * 7, (row,), "All."))
    tables = [block for block in section.blocks if isinstance(block, Table)]
    assert [len(table.heads) for table in tables] == [6, 4]
    assert all(table.heads[1] == "1, Paper (base)" for table in tables)
