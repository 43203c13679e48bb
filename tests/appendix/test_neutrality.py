"""The neutrality record in the appendix: what it tells, and what waits for a grade."""

from dataclasses import replace

import pytest

from evaluation.appendix import content, neutrality
from evaluation.appendix.case import Choices
from evaluation.appendix.document import Facts, Paragraph, walked
from evaluation.telling.figure import Figure
from evaluation.telling.table import Table
from evaluation.work.write_up import write_up


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
