"""Text from users and files is text: in every field, on every screen, whatever it holds."""

from typing import Any

import pytest
from rich.cells import cell_len

from evaluation.archive import sessions
from evaluation.entry import Draft
from evaluation.plain_text import visible
from evaluation.session import Grade
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.describe.fields import FIELDS
from evaluation.work.look import look

HOSTILE = [
    "[/a] [/ [bold red]loud[/] $primary {x} %s \x1b[31mred\x1b[2J\x07\x9b1m",
    "日本語の用紙 נייר מט a\u202eb\u2066c e\u0301\u0301\u0301 👩\u200d👩\u200d👧",
    "x" * 400 + "\n\td",
    "Lus\u00adtre\u200b\ufeff\U000e0041\u2060 247",
]
TEXT_FIELDS = [one.id for one in FIELDS if one.kind == "text" and one.id != "black_from"] + ["profile"]


def hostile_session(bench: Bench, text: str) -> int:
    drafts = [Draft("condition", field, text) for field in TEXT_FIELDS]
    drafts += [Draft("condition", "made_for", "general"), Draft("remark", "look", text)]
    drafts += [Draft("readiness", "viewing_light", {"mark": "done", "detail": {text[:40] or "x": text}})]
    session = begin.begin(bench, begin.PrintingCondition(), {})
    log.say(bench, session.id, drafts)
    look.start(bench, session.id, observer=text, kind="quick")
    for region in sheet_of(bench, session).regions:
        if region.whole:
            look.answer(bench, session.id, region.id, region.whole.id, Grade(3))
    log.remark(
        bench, session.id, "neutral", text, viewing=sessions.load(bench.archive, session.id).viewing.id
    )
    return session.id


def harmless(app: Any) -> None:
    """Nothing of a terminal's control is drawn, and no row is wider than the screen."""
    for row in app.rows:
        assert cell_len(row) <= 80, row
        assert not any(ord(char) < 0x20 or 0x7F <= ord(char) < 0xA0 for char in row)
        assert not any(char in row for char in "\u202e\u2066\u00ad\u200b\ufeff\U000e0041\u2060")


@pytest.mark.parametrize(
    ("text", "steps"),
    [(HOSTILE[0], "135"), *(pytest.param(text, "123456", marks=pytest.mark.long) for text in HOSTILE)],
)
async def test_every_screen_shows_hostile_text_as_text(
    booth: Any, bench: Bench, text: str, steps: str
) -> None:
    hostile_session(bench, text)
    async with booth() as app:
        harmless(app)
        for step in steps:
            await app.press("g", step)
            assert app.app.is_running
            harmless(app)
        await app.press("g", "1", "c")
        harmless(app)
        await app.press("question_mark")
        harmless(app)


@pytest.mark.long
@pytest.mark.parametrize("text", HOSTILE[:2])
async def test_hostile_text_can_be_typed(booth: Any, bench: Bench, text: str) -> None:
    begin.begin(bench, begin.PrintingCondition(), {})
    async with booth() as app:
        await app.press("g", "1", "home", "enter")
        await app.type(text)
        harmless(app)
        kept = sessions.load(bench.archive, 1).condition.printer
        assert kept == visible(" ".join(text.split()))
        await app.press("home", "enter")
        harmless(app)


async def test_a_hostile_file_name_is_told_as_text(
    booth: Any, bench: Bench, session: Any, tmp_path: Any
) -> None:
    folder = tmp_path / "room-readings"
    folder.mkdir()
    (folder / "[b]\x1b[31m.txt").write_text("nothing", "utf-8")
    async with booth() as app:
        await app.press("g", "4")
        harmless(app)
        await app.press("home", "enter")
        harmless(app)
        assert "[b]" in app.text
