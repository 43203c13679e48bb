"""Facts for readers in an appendix: of several prints in columns, how each is come by said once."""

from evaluation.appendix.facts import facts_section
from evaluation.telling import facts as words
from evaluation.telling.table import Table

INK = {"inks": 10.0, "step": 2.0, "used": 41.0, "area": 4.1}
NOISE = {"quiet": 35.0, "printing": 54.0}
WHITE = (words.whiteness(111.0, 0.9, "", "M1"), words.brightness(95.0, "", "M1"))
CREAM = (words.whiteness(72.0, -0.4, "", "M0"), words.brightness(None, "no spectrum", ""))


def test_several_prints_stand_in_columns_and_the_method_once():
    of = ((4, (words.fact("ink", INK, 4), words.fact("noise", NOISE, 4)), WHITE),)
    beside = (*of, (5, (words.fact("noise", NOISE, 4),), CREAM))
    alone, several = facts_section(of), facts_section(beside)
    stated, paper = (block for block in several.blocks if isinstance(block, Table))
    assert stated.heads == ("fact", "session 4", "session 5", words.HOW)
    ink, noise = stated.rows
    assert ink[1].startswith("10.0 ") and "4.1 m2 printed" in ink[1] and ink[2] == "–"
    assert noise[1] == "19 dB above the quiet room." and "(stated in session 4)" in noise[2]
    assert paper.heads == ("fact", "session 4", "session 5", words.WHERE_FROM)
    white, bright = paper.rows
    assert (white[1], white[2]) == ("W10 111, T10 +0.9 (M1)", "W10 72, T10 −0.4 (M0)")
    assert bright[2] == "not known: no spectrum"
    for table in (paper, alone.blocks[1]):  # what every instrument of its kind leaves open
        assert [row[-1].count("45:0") for row in table.rows] == [1, 0]
    assert facts_section(()) is None and facts_section(((4, (), ()),)) is None
