"""Every question of the sheets that come with drydown is seen whole beside the map of the smallest window."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.sheet.load import map_text, read_map
from evaluation.work.look.possible_answers import nameable
from tui.screens.look import lines as look_lines
from tui.screens.look.answer import Asking
from tui.screens.look.answer_parts import FaultAsking
from tui.screens.look.answers import asking
from tui.widgets.lines import texts
from tui.widgets.sheet_map import map_size

PORTRAIT, LANDSCAPE = (330.2, 482.6), (482.6, 330.2)
ROWS = 16  # of 24, inside the frame


def sheet_of_size(name: str, size: tuple[float, float]) -> Sheet:
    return replace(read_map(map_text(name), name), size_mm=size)


def stops(sheet: Sheet) -> Iterator[tuple[SheetRegion, Question | None, Asking | FaultAsking]]:
    """Every question, and the list of faults of every region that has one."""
    for region in sheet.regions:
        for question in region.questions:
            yield region, question, asking(question, None, nameable(sheet, region))
        if region.faults:
            yield region, None, FaultAsking(region.faults, frozenset())


@pytest.mark.parametrize("size", [PORTRAIT, LANDSCAPE, (210.0, 297.0)])
@pytest.mark.parametrize("name", ["colour-13", "colour-9", "colour-4", "mono-10"])
def test_question_answers_and_hint_are_seen_whole_at_80_by_24(name: str, size: tuple[float, float]) -> None:
    sheet = sheet_of_size(name, size)
    width = 80 - map_size(sheet, 21, ROWS)[0] - 6  # two frames, and the margins of one
    for region, question, asked in stops(sheet):
        hint = look_lines.how(question)
        ask = question.ask if question else "Which faults do you see?"
        rows = texts(look_lines.asked_lines(ask, asked, hint, width, ROWS))
        assert len(rows) <= ROWS and max(map(len, rows)) <= width, (region.id, ask, rows)
        assert "…" not in "".join(rows), (region.id, ask)
        flat = "".join("".join(rows).split())
        for words in (ask, hint):
            assert "".join(words.split()) in flat, (region.id, words)
