"""What Read and its patches show, as lines: nothing is lost where a row is narrow, no zero has a sign."""

from evaluation.readings.supplied import OpenQuestion
from evaluation.work.take_in.facts import Fact
from evaluation.work.weigh.patches import PatchRow, PatchView, UnderCondition
from tui.screens.read import lines, patch_lines
from tui.widgets.lines import text_of, texts


def test_what_a_row_cuts_stands_whole_below() -> None:
    short = Fact("instrument", "hand-held, 45/0", "stated")
    cut = Fact("patches", "395 of 458 matched by source values", "63 not in the file; 14 rows unmatched.")
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
