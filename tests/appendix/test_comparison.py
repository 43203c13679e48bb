"""Several sessions: page 1, what differs with the eye first, numbers in rows, grades in the annexe."""

from pathlib import Path

import pytest

from evaluation.appendix import html
from evaluation.appendix.compared import in_grades
from evaluation.appendix.comparison import Alongside, RegionCompared
from evaluation.appendix.document import Facts, Multiples, Opening, Paragraph, Points, walked
from evaluation.appendix.unchanged import check
from evaluation.archive.connection import open_archive
from evaluation.judgement.opinion import Finding, Opinion
from evaluation.judgement.two_prints import Difference
from evaluation.telling import several
from evaluation.telling.figure import Figure
from evaluation.telling.table import Table
from evaluation.work.bench import Bench
from evaluation.work.write_up import write_up


def _alike(session):
    return Difference("tints", 1, session, 0.0, False, "alike", graded=(4.5, 4.5), viewings=(1, 1))


ROWS = (
    RegionCompared(
        "skin", "Skin tones", (4.4, 3.72), (None, Difference("skin", 1, 4, -0.68, True, "large", "hue"))
    ),
    RegionCompared(
        "saturation", "Saturation", (4.1, 4.3), (None, Difference("saturation", 1, 4, 0.2, True, "measured"))
    ),
    RegionCompared("tints", "Even tints", (4.5, 4.5), (None, _alike(4))),
    RegionCompared(
        "shadow",
        "Shadow detail",
        (4.4, None),
        (None, Difference("shadow", 1, 4, None, False, "not comparable", "eye and readings disagree")),
    ),
)
PRINTS = Alongside(1, (1, 4), ("Lustre 247", "Rag 293"), ROWS)


def test_grades_in_the_annexe_hold_grade_difference_and_word():
    section = in_grades((PRINTS,))
    table = next(block for block in section.blocks if isinstance(block, Table))
    assert table.heads == ("region", "1, Lustre 247 (base)", "4, Rag 293")
    assert [row[1:] for row in table.rows] == [
        ("4.4", "3.7 (−0.68), large"),
        ("4.1", "4.3 (+0.20), measured"),
        ("4.5", "4.5 (0.00), alike"),
        ("4.4", "–, not comparable"),
    ]
    reasons = next(block for block in section.blocks if isinstance(block, Points))
    assert reasons.items == ("Eye and readings disagree: shadow detail.",)


def test_more_than_a_page_holds_stands_in_several_tables_with_the_base_in_each():
    sessions = (3, 1, 2, 4, 5, 6, 7)
    differences = tuple(None if k == 1 else _alike(k) for k in sessions)
    row = RegionCompared("tints", "Even tints", (4.0,) * 7, differences)
    section = in_grades((Alongside(1, sessions, ("Paper",) * 7, (row,)),))
    tables = [block for block in section.blocks if isinstance(block, Table)]
    assert [len(table.heads) for table in tables] == [6, 4]
    assert all(table.heads[1] == "1, Paper (base)" for table in tables)


def _row(title, eyes, *differences, agreement="agree", readings=None):
    found = tuple(
        None
        if eye is None
        else Finding("r", title, "r", Opinion(eye, 0.4, 1, "eye"), readings, agreement, None, "")
        for eye in eyes
    )
    return several.PrintsRow(title, found, (True,) * len(eyes), (None, *differences))


def test_the_eye_leads_each_cell_and_rows_alike_everywhere_are_one():
    large = Difference("skin", 1, 4, -0.68, True, "large", "skin chroma", (4.5, 4.0), (1, 1))
    graded = Difference("detail", 1, 4, -1.0, False, "by grade", "", (5.0, 4.0), (2, 2))
    apart = Opinion(3.9, 0.4, 8, "readings")
    rows = [
        _row("Even tints", (4.5, 4.5, None), _alike(4), None),
        _row("Skin tones", (4.5, 4.0, 4.5), large, _alike(5)),
        _row("Fine detail", (5.0, 4.0, None), graded, None),
        _row("Highlights", (5.0, 5.0, None), _alike(4), None),
        _row("Shadows", (2.0, 2.0, None), _alike(4), None, agreement="disagree", readings=apart),
    ]
    table = several.in_words(rows, ("1 Lustre", "4 Rag", "5 Cold-press"), 0)
    assert table.heads == ("region", "1 Lustre (base)", "4 Rag", "5 Cold-press")
    assert table.rows == (
        ("Skin tones", "eye 4.5", "eye 4.0; large: chroma of skin", "alike"),
        ("Fine detail", "eye 5.0", "eye 4.0; by grade 1.0 lower", "not judged"),
        (
            "Shadows",
            "eye 2.0, readings 3.9: settle first",
            "eye 2.0, readings 3.9: settle first",
            "not judged",
        ),
        ("Even tints, highlights", "eye 4.5; eye 5.0", "alike", "not judged"),
    )
    words = several.meanings(rows)
    assert words.startswith("Alike: within repeats") and "open:" not in words
    assert words.endswith("No word here is a judgement of two prints side by side.")
    assert several.meanings([]) == ""


@pytest.fixture(scope="module")
def six(demo_archive):
    with open_archive(demo_archive, read_only=True) as archive:
        return write_up.appendix(Bench(archive), (1, 2, 3, 4, 5, 6))


@pytest.mark.long
def test_six_of_the_demo_fit_each_part_once(six):
    document = six
    opening = next(block for block in document.blocks() if isinstance(block, Opening))
    assert [word for word, _ in opening.verdicts][:3] == [
        "1 Sallowfell Lustre 247, quality fine:",
        "2 Sallowfell Baryta 322, through the profile:",
        "3 Sallowfell Baryta 322, driver's black and white:",
    ]
    assert opening.verdicts[1][1] == " undecided for black and white (leans to not accepted, about 6 in 10)."
    assert [claim for claim, _ in opening.reasons][:2] == ["What differs.", "Side by side under letters."]
    lines = dict(next(block for block in document.blocks() if isinstance(block, Facts)).rows)
    assert lines["Light"] == (
        "1, 2 and 3: 2040 lx, 5050 K, P1, second A; 5 and 6: not confirmed; 4: 1980 lx, 5050 K, P1."
    )
    assert "Sessions 1, 4, 5 and 6 with 2 and 3: printed from other sheets." in lines["Not comparable"]
    assert "Not comparable" not in lines["Not comparable"]
    assert lines["Printed"].endswith("; 23 Nov 2026 to 2 Dec 2026.")
    grades = [block for block in document.blocks() if isinstance(block, Figure) and block.panels]
    assert [len(each.panels) for each in grades] == [3, 2]  # nobody judged session 6
    assert grades[1].caption == "Likewise sessions 2 and 3, printed from another sheet."
    titles = [section.title for section in document.sections]
    assert titles[1:5] == [
        "What differs, in words",
        "The prints in numbers",
        "Side by side under letters",
        "Session by session",
    ]
    behind = titles[titles.index("Annexe") :]  # of more than three prints, answers in full
    assert {"Rounds under letters", "Session 3: several observers"} <= {*behind} and len({*titles}) == len(
        titles
    )
    parting = next(
        b for b in document.blocks() if isinstance(b, Points) and b.lead == "What would settle more"
    )
    assert "Settle shadow detail of session 4 in Weigh first." in parting.items and len(parting.items) == 5


@pytest.mark.long
def test_curves_of_the_demo_stand_at_one_scale_with_a_spark_in_the_row_of_each_print(six):
    greys, planes = (block for block in six.blocks() if isinstance(block, Multiples))
    assert {figure.y_range for figure in greys.figures} == {(-6.0, 6.0)}
    assert {figure.x_range for figure in planes.figures} == {(-130, 130)}
    assert "2 Sallowfell Baryta 322, through the profile, b* +4.5 near L* 51" in greys.caption
    table = next(block for block in six.blocks() if isinstance(block, Table) and block.sparks)
    assert len(table.rows) == len(table.sparks) == 5
    assert table.rows[1][-1] == "−3.5 to +4.5" and "−3.5 to +4.5" in table.sparks[1].alt
    page = html.render(six)
    assert page.count('class="spark"') == 5 and page.count('class="panels"') == 2


@pytest.mark.long
def test_the_annexe_of_several_keeps_grades_greys_and_every_figure_once(six):
    ids = [section.id for section in walked(six.sections)]
    assert ids.index("annexe") < ids.index("compared-in-grades") < ids.index("greys")
    figures = [
        figure.id for block in six.blocks() if isinstance(block, Multiples) for figure in block.figures
    ]
    alone = [block.id for block in six.blocks() if hasattr(block, "lines")]
    assert all(alone.count(figure) == 1 for figure in figures)


@pytest.mark.long
def test_what_limits_a_comparison_is_said_once(six):
    cautions = [b.text for b in six.blocks() if isinstance(b, Paragraph) and b.role == "caution"]
    spread = [text for text in cautions if text.startswith("Spread from sheet to sheet")]
    assert len(spread) == 1 and "0.5, worst 1.5 ΔE*ab" in spread[0]


@pytest.mark.long
def test_a_changed_word_of_several_is_found_in_the_page(six):
    page = html.render(six)
    assert check(page, Path("six.html")).unchanged
    told = check(page.replace("Spread from sheet", "Spread of sheet", 1), Path("six.html"))
    assert "“Spread from sheet" in told.what and "” was written" in told.what
    told = check(page.replace("−3.5 to +4.5<svg", "−0.5 to +0.5<svg"), Path("six.html"))
    assert told.changes == ("The prints in numbers: “−3.5 to +4.5” was written, “−0.5 to +0.5” stands there",)
