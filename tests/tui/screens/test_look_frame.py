"""Places in Look: every question of the sheets that come with drydown is seen whole beside its map."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.sheet.load import map_text, read_map
from evaluation.work.look.answers import nameable
from tui.screens import look_lines
from tui.screens.answer import Asking
from tui.screens.answer_parts import FaultAsking
from tui.screens.answers import asking
from tui.screens.look_frame import Frame, frame
from tui.widgets.lines import texts

WINDOWS = [(80, 24), (100, 30), (120, 36), (200, 60)]
PORTRAIT, LANDSCAPE = (330.2, 482.6), (482.6, 330.2)


def sheet_of_size(name: str, size: tuple[float, float]) -> Sheet:
    return replace(read_map(map_text(name), name), size_mm=size)


def stops(sheet: Sheet) -> Iterator[tuple[SheetRegion, Question | None, Asking | FaultAsking]]:
    """Every question, and the list of faults of every region that has one."""
    for region in sheet.regions:
        for question in region.questions:
            yield region, question, asking(question, None, nameable(sheet, region))
        if region.faults:
            yield region, None, FaultAsking(region.faults, frozenset())


def body(
    sheet: Sheet, region: SheetRegion, question: Question | None, asked: Asking | FaultAsking, place: Frame
) -> tuple[list[str], str, list[str]]:
    """The question with its answers, its hint, and the whole body of a window of 80 by 24."""
    hint = look_lines.how(question)
    ask = question.ask if question else "Which faults do you see?"
    right = look_lines.question_lines(ask, asked, place.words, place.room(hint))
    drawn = look_lines.look_lines(sheet, region, "region 1 of 9", right, hint, place)
    return texts(right), hint, texts(drawn)


@pytest.mark.parametrize("size", [PORTRAIT, LANDSCAPE, (210.0, 297.0)])
@pytest.mark.parametrize("name", ["colour-9", "colour-4", "mono-7"])
def test_question_answers_and_hint_are_seen_whole_at_80_by_24(name: str, size: tuple[float, float]) -> None:
    sheet = sheet_of_size(name, size)
    place = frame(sheet, 80, 18)
    for region, question, asked in stops(sheet):
        right, hint, drawn = body(sheet, region, question, asked, place)
        rows = "\n".join(drawn)
        assert len(drawn) <= 18 and max(map(len, drawn)) <= 80
        assert [row for row in right if row.strip() and row.strip() not in rows] == [], region.id
        told = [row.strip() for row in place.hint(hint)]
        assert [row for row in told if row not in rows] == [], region.id
        assert "".join(told).replace(" ", "") == hint.replace(" ", ""), "no word of how to look is lost"


@pytest.mark.parametrize("name", ["colour-9", "colour-4", "mono-7"])
def test_words_of_grades_are_not_cut_beside_a_tall_sheet(name: str) -> None:
    sheet = sheet_of_size(name, PORTRAIT)
    place = frame(sheet, 80, 18)
    for region, question, asked in stops(sheet):
        right, _, _ = body(sheet, region, question, asked, place)
        assert "…" not in "".join(right), (region.id, right)


def test_a_tall_sheet_takes_the_height_and_leaves_its_words_the_width() -> None:
    tall, wide = (frame(sheet_of_size("colour-9", size), 80, 18) for size in (PORTRAIT, LANDSCAPE))
    assert (tall.map_height, tall.tall, tall.column) == (14, True, 24)
    assert (wide.map_height, wide.tall, wide.column) == (11, False, 35)
    assert tall.words > wide.words


@pytest.mark.parametrize("size", [PORTRAIT, LANDSCAPE, (100.0, 1000.0), (1000.0, 100.0), (300.0, 300.0)])
@pytest.mark.parametrize("window", WINDOWS)
def test_the_places_depend_on_sheet_and_window_alone(
    size: tuple[float, float], window: tuple[int, int]
) -> None:
    """So nothing moves from region to region, and all of it lies inside."""
    place = frame(sheet_of_size("colour-4", size), window[0], window[1] - 6)
    assert 3 < place.column < window[0] // 2 + 1
    assert place.column + place.words < window[0]
    assert 3 + place.map_height <= window[1] - 6
