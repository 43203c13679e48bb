"""The ruler and the curves as text rows: what is seen is what is tested."""

import math

from tui.widgets.plot import Axis, Curve, nice, plot, under, whole_ticks
from tui.widgets.ruler import LENGTH, ruler
from tui.widgets.tracks import Track, rows_for, tracks


def test_distance_on_the_ruler_is_the_disagreement() -> None:
    assert ruler(2.0, 3.9, disagree=True) == "┼───E━━━━━━━I───┼"
    assert ruler(5.0, 4.4) == "┼───┼───┼───┼─I─E", "no heavy line where both agree"


def test_both_at_one_place_are_one_letter() -> None:
    assert ruler(4.0, 4.05).count("B") == 1


def test_a_voice_that_is_silent_has_no_letter() -> None:
    assert ruler(None, None) == "┼───┼───┼───┼───┼"
    assert "━" not in ruler(2.0, None, disagree=True)
    assert "I" not in ruler(3.0, None)


def test_the_ruler_keeps_its_length_at_both_ends() -> None:
    for grade in (0.0, 1.0, 5.0, 6.0):
        assert len(ruler(grade, 6 - grade, disagree=True)) == LENGTH


def test_marks_stand_where_their_values_are() -> None:
    rows = plot([Curve([(0, 0), (1, 1)], "o")], Axis(0, 1), Axis(0, 1, ((0, "0"), (1, "1"))), 5, 3)
    assert rows == [
        "1 │    o",
        "  │",
        "0 │o",
        "  └─────",
        "",
    ]


def test_two_marks_at_one_place_are_a_star() -> None:
    rows = plot([Curve([(0, 0)], "1"), Curve([(0, 0)], "2")], Axis(0, 1), Axis(0, 1), 3, 2)
    assert rows[1].endswith("│*")


def test_marks_cover_dots_and_stand_on_the_same_row() -> None:
    level = [(0.0, 0.0), (10.0, 0.0)]
    rows = plot([Curve(level), Curve([(5, 0)], "o")], Axis(0, 10), Axis(-1, 1), 11, 7)
    drawn = [row for row in rows[:7] if row.strip(" │")]
    assert len(drawn) == 1
    assert drawn[0].count("o") == 1
    assert len(drawn[0].partition("│")[2]) == 11


def test_values_that_are_no_numbers_are_left_out() -> None:
    rows = plot([Curve([(0, math.nan), (math.inf, 1), (1, 1)], "o")], Axis(0, 1), Axis(0, 1), 3, 2)
    assert "".join(rows).count("o") == 1


def test_a_level_curve_needs_no_height() -> None:
    assert plot([Curve([(0, 3), (1, 3)], "o")], Axis(0, 1), Axis(3, 3), 4, 3)


def test_letters_under_the_axis_stand_at_their_steps_and_meet_as_both() -> None:
    assert under([(2, "I"), (5, "E")], Axis(1, 16), 16, 2) == "   I  E"
    assert under([(2, "I"), (2, "E")], Axis(1, 16), 16, 0).strip() == "B"


def test_ticks_are_round_and_inside() -> None:
    assert nice(0, 1) == (0, 0.25, 0.5, 0.75, 1)
    assert all(16 <= value <= 29 for value in nice(16, 29))
    assert whole_ticks(1, 16) == ((1, "1"), (4, "4"), (8, "8"), (12, "12"), (16, "16"))


def test_tracks_stand_below_each_other_under_their_names_to_one_scale() -> None:
    line = [(0.0, 0.5), (10.0, 0.5)]
    level = [(0.0, 0.0), (10.0, 0.0)]
    y = Axis(-1, 1, ((-1, "-1"), (0, "0"), (1, "+1")))
    rows = tracks([Track("a*", line, "red", "green"), Track("b*", level)], Axis(0, 10), y, 11, 5)
    assert [row.strip() for row in (rows[0], rows[6])] == ["a*   + red, - green", "b*"]
    above, below = rows[1:6], rows[7:12]
    assert [row.partition("│")[2] for row in above].index("┄" * 11) == 2  # the aim, dashed, at 0
    assert any(ord(sign) > 0x2800 for sign in above[1]), "a value above its aim stands above the dashes"
    assert not any("┄" in row for row in below), "a curve on its aim covers the dashes"
    assert rows[12].strip() == "└" + "─" * 11 and len(rows) == 14
    assert rows_for(14, 2) == 5 and rows_for(9, 2) == 0
