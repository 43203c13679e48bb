"""What stands under a figure: a sentence on what to see, from its numbers."""

from dataclasses import replace

import pytest

from evaluation.telling.curves import to_see
from evaluation.telling.figure import Figure, Line

DRAWN = "Dotted what the file asks, solid what was printed."
TRACK = Figure(
    id="t",
    title="Greys",
    x="L*",
    y="shift",
    lines=(
        Line("a*", (5.0, 50.0), (0.1, -0.4)),
        Line("b*", (5.0, 50.0), (0.2, 0.9)),
        Line("b*, not counted", (2.0,), (4.0,), "hollow"),
    ),
    zero=True,
    band=1.0,
)
RAMPS = Figure(
    id="r",
    title="Saturation",
    x="a*",
    y="b*",
    lines=(
        Line("aim", (0.0, 60.0), (0.0, 80.0), "aim"),
        Line("aim", (0.0, 30.0), (0.0, 40.0), "aim"),
        Line("read", (0.0, 45.0), (0.0, 60.0), label="Blue"),
        Line("read", (0.0, 27.0), (0.0, 36.0), label="Rose"),
    ),
    square=True,
)
STEPS = Figure(
    id="s",
    title="Shadow detail: its steps",
    x="source",
    y="read",
    lines=(Line("aim", (2.0, 5.0), (6.0, 9.0), "aim"), Line("read", (2.0, 5.0), (6.2, 8.1), "point")),
)


def off(value):
    return replace(TRACK, lines=(TRACK.lines[0], Line("b*", (5.0, 50.0), (0.2, value))))


@pytest.mark.parametrize(
    ("figure", "told"),
    [
        (TRACK, "No grey leaves the band of ±1, which few eyes notice."),
        (off(-3.46), "Furthest off: b* −3.5 near L* 50. Few eyes notice ±1, the band."),
        # 100 less 75 and 50 less 45: 15 on average
        (
            RAMPS,
            f"{DRAWN} Ends fall short by 15 on average, blue by 25.",
        ),
        (
            replace(RAMPS, lines=tuple(replace(line, label="") for line in RAMPS.lines)),
            f"{DRAWN} They lie at most 25.0 apart.",
        ),
        (STEPS, "At L* 5 of the source, what was read lies 0.9 below the dotted aim."),
        (replace(STEPS, lines=STEPS.lines[1:]), ""),
        (replace(TRACK, band=0.0), ""),
    ],
)
def test_a_caption_says_what_to_see(figure, told):
    assert to_see.caption(figure) == told


def test_steps_on_their_aim_show_nothing():
    near = replace(STEPS, lines=(STEPS.lines[0], Line("read", (2.0, 5.0), (6.2, 9.1), "point")))
    assert [to_see.shows(each) for each in (near, STEPS, TRACK, RAMPS)] == [False, True, True, True]
    assert to_see.caption(near) == "What was read lies on the dotted aim."
