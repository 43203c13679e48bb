"""Lines of several pages: nothing is lost where a row is narrow, no zero has a sign."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

from evaluation.judgement.opinion import Finding, Verdict
from evaluation.readings.supplied import OpenQuestion
from evaluation.telling.table import Table
from evaluation.work.take_in.facts import FileFact
from evaluation.work.weigh.patches import PatchRow, PatchView, UnderCondition
from tui.reports.settings import _limits
from tui.screens.base.paths import typed_path
from tui.screens.plan import lines as plan_lines
from tui.screens.read import lines, patch_lines
from tui.screens.tools.report_lines import table_lines
from tui.screens.weigh import lines as weigh_lines
from tui.widgets.lines import text_of, texts


def test_what_a_row_cuts_stands_whole_below() -> None:
    short = FileFact("instrument", "hand-held, 45/0", "stated")
    cut = FileFact("patches", "395 of 458 matched by source values", "63 not in the file; 14 rows unmatched.")
    assert lines.fact_whole(short, 78) == ""
    assert "…" in text_of(lines.fact_row(cut, 78))
    whole = lines.fact_whole(cut, 78)
    assert whole.startswith("Patches: 395 of 458 matched by source values, 63 not in the file; 14 rows")
    assert texts(lines.preview_foot((), "In sight.", (), 78, whole))[0].startswith(" Patches: 395 of 458")
    ask = OpenQuestion("printed", "This file was measured before this print was made: is it of it?", ("yes",))
    assert " ".join(text.strip() for text in texts(lines.ask_foot(ask, 40))) == f"{ask.question} 1 yes"
    assert texts(lines.ask_foot(OpenQuestion("scale", "the scale", ("8 bit",)), 40)) == [" 1 8 bit"]


def test_a_rounded_zero_has_no_sign() -> None:
    row = PatchRow("N9", "grey", "Greys", 2, (42.4, -0.04, -1.6), 3.8, None)
    assert text_of(patch_lines.row(row, 78)).split()[-4:] == ["42.4", "0.0", "-1.6", "3.8"]
    under = UnderCondition("M1", "a.txt", (42.4, -0.04, -1.6), 1, None, (), None, None, "")
    view = PatchView("N9", "grey", "Greys", (under,), None, None, None, (), None, "")
    assert "   a*            0.0" in texts(patch_lines.opened(view, density=False, width=78, room=20))


def test_names_of_regions_stand_whole_at_80_columns() -> None:
    region = SimpleNamespace(id="detail", number=12)
    sheet: Any = SimpleNamespace(regions=(region,))
    found = Finding("detail", "Fine detail and registration", "fine", None, None, "not graded yet", None, "")
    for width, word in ((78, "not graded "), (100, "not graded yet ")):
        shown = text_of(weigh_lines.row(found, sheet, width))
        assert "12 fine detail and registration " in shown and word in shown and len(shown) <= width - 2
        assert len(text_of(weigh_lines.heading(width))) == len(shown) + 2, "heads over their columns"


def test_a_verdict_says_how_sure_it_is_where_there_is_room() -> None:
    open_between = "borderline: undecided"
    verdict = Verdict("general", "undecided", (), None, 0.8, "accepted with remarks", open_between)
    titled = "For general use: undecided (borderline)"
    assert weigh_lines.verdict_title("general", verdict, 4, 1, 0, 120) == (
        titled,
        "4 caveats: v   1 possible cause: Tab",
    )
    assert weigh_lines.verdict_title("general", verdict, 4, 1, 0, 78)[0] == "For general use: undecided"


def test_a_loan_gives_its_columns_to_what_is_there() -> None:
    rows = [
        ("Brackmoor Cold-press 346", "fine, finest; maker's profile", ""),
        ("open days", "Mon to Sat", "note"),
    ]
    widths = plan_lines.field_widths(rows, 76)
    shown = texts([plan_lines.field(*row, 76, widths) for row in rows])
    assert shown == [
        " Brackmoor Cold-press 346 fine, finest; maker's profile",
        " open days                Mon to Sat    note",
    ]


def test_the_title_of_a_table_is_broken_where_it_is_long() -> None:
    table = Table("Sallowfell Baryta 322, baryta, heavy over Brackmoor Rag 293", ("hue",), (("red",),))
    assert texts(table_lines(table, 50)) == [
        "   Sallowfell Baryta 322, baryta, heavy over",
        "   Brackmoor Rag 293",
        "   hue",
        "   red",
    ]


def test_a_limit_has_its_words_at_80_columns() -> None:
    row: Any = {"name": "eye_prior_viewings", "value": 4.0, "unit": "viewings", "mark": "own"}
    row |= {"note": "how many viewings the spread above is worth", "overridden": True}
    shown = " ".join(" ".join(texts(table_lines(_limits([row]), 80))).split())
    assert "* eye_prior_viewings 4 viewings, own choice: how many viewings the spread above is worth" in shown


def test_a_whole_path_behind_the_folder_in_the_line_goes_by_itself(tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    assert typed_path(f" {tmp_path}/none/{other} ") == other
    assert typed_path(f"{tmp_path}/none/~/readings") == Path.home() / "readings"
    assert typed_path(f"{tmp_path}//other/new.html") == other / "new.html", "a folder that is there"
    assert typed_path("~no-such-user/a") == Path("~no-such-user/a")
