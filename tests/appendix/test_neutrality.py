"""The neutrality record in the appendix: what it tells, and what waits for a grade."""

from dataclasses import replace

import pytest

from evaluation.appendix import content, neutrality, neutrality_columns
from evaluation.appendix.case import Choices
from evaluation.appendix.document import ANNEXE, Facts, Multiples, Paragraph, Points, walked
from evaluation.archive.connection import open_archive
from evaluation.telling.figure import Figure
from evaluation.telling.neutrality import several
from evaluation.telling.table import Table
from evaluation.work.bench import Bench
from evaluation.work.neutrality import neutrality as work
from evaluation.work.write_up import write_up


@pytest.fixture(scope="module")
def two_modes(demo_archive):
    """The two modes of the demo: their cases, how they compare, and the document of their record."""
    with open_archive(demo_archive, read_only=True) as archive:
        bench = Bench(archive)
        chosen = Choices("neutrality")
        cases, _, document = write_up._made(bench, [2, 3], chosen, write_up.NO_STYLE)
        return cases, work.neutrality(bench, [2, 3]), document


def test_two_records_stand_in_columns_with_what_lies_between_them_and_every_step_in_the_annexe(two_modes):
    cases, found, document = two_modes
    front, greys, *_, annexe = document.sections
    (drawn,) = (block for block in front.blocks if isinstance(block, Multiples))
    assert [figure.title for figure in drawn.figures] == [
        "2 Sallowfell Baryta 322, through the profile",
        "3 Sallowfell Baryta 322, driver's black and white",
    ]
    assert len({figure.y_range for figure in drawn.figures}) == 1
    beside = table(greys, "Beside each other")
    rows = {row[0]: row[1:] for row in beside.rows}
    assert beside.heads == ("fact", "session 2", "session 3", "between them")
    middle = found.of(2).record.thirds["middle"]
    assert rows["middle third"][0].startswith(f"{middle.cast}, {middle.de00:.1f} ΔE₀₀ (a* −")
    assert rows["middle third"][2].startswith("large, ") and rows["black"][2] == "alike"
    assert annexe.id == ANNEXE
    steps = table(annexe, "Every step")
    assert len(steps.rows) == len(found.of(2).record.steps) and len(steps.heads) == 17
    assert steps.rows[0][7] == "(0.2)"  # the black is left out of the cast
    limits = [block for block in greys.blocks if isinstance(block, Points) and "do not tell" in block.lead]
    assert len(limits) == 1

    hidden = [replace(case, shown=case.shown - {"mono_neutral"}) for case in cases]
    assert neutrality_columns.beside(hidden, found) is None
    assert not any("black" in row[0] for row in several.beside(found, frozenset()).rows)


def test_three_records_have_no_column_between_them_and_a_table_of_steps_each(two_modes):
    _, found, _ = two_modes
    third = replace(found.of(3), session=replace(found.of(3).session, id=9))
    three = replace(found, prints=(*found.prints, third))
    assert several.beside(three, frozenset()).heads == ("fact", "session 2", "session 3", "session 9")
    assert len(several.every_step(three)) == 3
    assert [row[1] for row in several.thirds(three).rows[:3]] == ["2", "3", "9"]


@pytest.fixture
def greys(archive_bench):
    return write_up._made(archive_bench, [1], write_up.WHOLE, write_up.NO_STYLE)[0][0]


def table(section, caption):
    return next(b for b in section.blocks if isinstance(b, Table) and b.title.startswith(caption))


def test_it_begins_with_the_sentence_to_quote_and_holds_thirds_and_every_step(greys):
    section = neutrality.neutrality(greys, "s")
    assert isinstance(section.blocks[0], Paragraph) and section.blocks[0].role == "lead"
    assert [row[0] for row in table(section, "Cast by thirds").rows] == ["light", "middle", "dark"]
    assert len(table(section, "Steps").rows) == 21


def test_the_numbers_are_those_of_the_record(greys):
    section = neutrality.neutrality(greys, "s")
    third = greys.greys.record.thirds["light"]
    row = table(section, "Cast by thirds").rows[0]
    assert row[:2] == (third.name, third.cast) and row[4] == f"{third.de00:.1f}"


def test_nothing_is_on_record_before_the_greys_have_their_grade(greys, edition):
    hidden = replace(greys, shown=frozenset({"shadow", "skin"}))
    assert neutrality.neutrality(hidden, "s") is None
    chosen = replace(edition, choices=Choices(parts="neutrality"))
    sections = walked(content.build((hidden,), chosen).sections)
    told = next(each for each in sections if each.title == "Neutrality record")
    assert told.blocks[0].text.startswith("No greys are on record")


def test_the_black_waits_for_the_grade_of_its_own_region(greys):
    def facts(case):
        section = neutrality.neutrality(case, "s")
        return dict(next(block for block in section.blocks if isinstance(block, Facts)).rows)

    assert "black" in facts(greys)
    black = greys.sheet.black_patch
    patches = tuple(
        replace(patch, region="saturation") if patch.id == black else patch for patch in greys.sheet.patches
    )
    hidden = facts(replace(greys, sheet=replace(greys.sheet, patches=patches)))
    assert "black" not in hidden and not any("black" in value for value in hidden.values())


def test_the_record_alone_comes_with_its_curves(greys, edition):
    chosen = replace(edition, choices=Choices(parts="neutrality"))
    document = content.build((greys,), chosen)
    figures = [block.id for block in document.blocks() if isinstance(block, Figure)]
    assert "session-1-neutral-track" in figures
    assert not any(each.id.endswith("-regions") for each in walked(document.sections))
