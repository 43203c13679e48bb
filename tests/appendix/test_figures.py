"""Figures as numbers and as drawings: what they hold, what is said of them, that they repeat to the byte."""

import io
import math
import random
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import numpy as np
import pytest
from coloraide import Color
from PIL import Image

from evaluation.appendix import regions
from evaluation.appendix.case import Choices
from evaluation.appendix.drawing import figures
from evaluation.appendix.drawing.marks import FLAG, overlaps
from evaluation.archive.connection import open_archive
from evaluation.colorimetry.difference import delta_ch
from evaluation.telling.curves import page
from evaluation.telling.figure import Figure, Line
from evaluation.work.bench import Bench
from evaluation.work.write_up import write_up

FIGURE = Figure(
    id="f",
    title="Caption",
    alt="What it shows.",
    x="lightness, L*",
    y="shift, CIELAB",
    lines=(
        Line("aim", (0.0, 50.0, 100.0), (0.0, 1.0, 2.0), "aim"),
        Line("a*", (0.0, 50.0, 100.0), (0.1, 1.2, 2.1)),
        Line("b*", (0.0, 50.0, 100.0), (-0.1, -1.2, -2.1)),
        Line("b*, not counted", (5.0,), (0.4,), "hollow"),
    ),
    zero=True,
)
DICHROMATS = ("protan", "deutan", "tritan")
SVG = "{http://www.w3.org/2000/svg}"


def texts(svg):
    return [element.text for element in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_the_same_figure_gives_the_same_svg_with_units_and_names():
    first = figures.svg.__wrapped__(FIGURE)
    assert first == figures.svg.__wrapped__(FIGURE)
    assert {"lightness, L*", "shift, CIELAB", "aim, a*", "b*", "+2", "−2", "40"} <= set(texts(first))


def test_text_of_a_user_is_text_in_a_figure():
    hostile = replace(FIGURE.lines[1], name="$\\frac$", label="$x^2$ <b>&")
    assert "$x^2$ <b>&" in texts(figures.svg(replace(FIGURE, lines=(hostile, FIGURE.lines[2]))))


def test_curves_that_lie_on_each_other_share_a_name_and_many_are_counted():
    near = Line("near", (0.0, 50.0, 100.0), (0.1, 1.21, 2.12))
    assert "a*, near" in texts(figures.svg(replace(FIGURE, lines=(FIGURE.lines[1], near, FIGURE.lines[2]))))
    fan = tuple(Line(f"print {k}", (0.0, 100.0), (0.0, k * 3.0)) for k in range(9))
    named = texts(figures.svg(replace(FIGURE, lines=fan)))
    assert "4 others" in named and "print 8" in named and "print 4" not in named


def test_an_axis_begins_with_its_fixed_range_and_grows_where_readings_leave_it():
    fixed = replace(FIGURE, y_range=(-3.0, 3.0), band=1.0)
    assert {"−3", "+3"} <= set(texts(figures.svg(fixed)))
    beyond = replace(fixed, lines=(Line("a*", (0.0, 100.0), (0.0, 7.2)),))
    assert "+8" in texts(figures.svg(beyond)) or "+10" in texts(figures.svg(beyond))


def test_a_ruler_cuts_bars_at_the_scale_and_flags_what_disagrees(case):
    drawn = page.eye_and_instrument(case.weighing.findings, case.shown, "s")
    assert drawn.flags == ("Shadow detail",)
    svg = figures.svg(drawn)
    assert {"4.0 ± 0.5", "≠", "slightly annoying", "–"} <= set(texts(svg)) and FLAG in svg
    ends = [float(element.get("x2")) for element in ElementTree.fromstring(svg).iter(f"{SVG}line")]
    assert max(ends) <= 482
    assert {"≠", "1", "5"} <= set(texts(figures.svg(drawn, figures.PHONE)))


def test_a_panel_of_rulers_says_where_nobody_judged():
    lines = (
        Line("eye", (4.0,), (0.0,), "point", "Lustre"),
        Line("instrument", (5.0,), (0.0,), "point", "Lustre"),
    )
    matrix = Figure("m", "", "", "", lines, row_names=("Skin", "Greys"), panels=("Lustre", "Rag"))
    written = texts(figures.svg(matrix))
    assert written.count("not judged") == 3 and {"Lustre", "Rag", "Skin"} <= set(written)


def test_no_name_meets_another_or_the_frame_in_any_figure_of_the_demo(demo_figures):
    """Also with a face that is 15 per cent wider, at every width a figure is drawn with."""
    assert len(demo_figures) > 20
    for figure in demo_figures:
        for wide in (None, figures.PHONE) if figure.row_names else (None, 151.0, 238.0):
            made = figures.drawn(figure, wide)
            assert [overlaps(made, stretch) for stretch in (1.0, 1.15)] == [0, 0], (figure.id, wide)


@pytest.mark.parametrize("count", [20, pytest.param(200, marks=pytest.mark.long)])
def test_no_name_meets_another_in_drawn_figures(count):
    draws = random.Random(7)
    words = (
        "Brackmoor Rag 293",
        "Χαρτί ματ",
        "Бумага",
        "a*",
        "rose",
        "a very long name of a paper indeed",
        "נייר",
    )
    for _ in range(count):
        lines = tuple(
            Line(
                f"{draws.choice(words)} {k}", (0.0, 40.0, 100.0), tuple(draws.gauss(0, 3) for _ in range(3)),
                draws.choice(("read", "line", "point")),
            )
            for k in range(draws.randint(1, 9))
        )  # fmt: skip
        assert overlaps(figures.drawn(replace(FIGURE, lines=lines)), 1.15) == 0, lines
    for _ in range(count // 5):
        ramps = [
            (draws.choice(words[3:5]) + str(k), draws.uniform(0, 6.3)) for k in range(draws.randint(3, 12))
        ]
        grey = [("up", 0.8), ("down", 3.9)]
        lines = tuple(
            Line("read", (0.0, 60 * math.cos(a)), (0.0, 60 * math.sin(a)), label=name)
            for name, a in (*ramps, *grey)
        )
        assert overlaps(figures.drawn(replace(FIGURE, lines=lines, square=True))) == 0, ramps


def test_marks_stay_apart_without_colour_and_to_colour_blind_eyes(demo_figures):
    """The one colour keeps its contrast in greys and for each kind of dichromat, and never stands alone.

    Contrast by WCAG 2 (at least 4.5 for text); dichromats as coloraide simulates them (Brettel 1997).
    """
    flag = Color(FLAG)
    seen = [flag, flag.clone().filter("grayscale"), *(flag.filter(kind) for kind in DICHROMATS)]
    assert all(one.clip().contrast("white") > 4.5 for one in seen) and Color("black").contrast(flag) > 1.5
    kinds = {_kind(figure) for figure in demo_figures}
    assert kinds == {"ruler", "cells", "plane", "curves", "spark", "jnd"}
    for figure in (*demo_figures, FIGURE):
        for drawn in (figures.svg(figure), figures.svg(figure, figures.PHONE)):
            inks = set(re.findall(r'(?:fill|stroke)="([^"]+)"', drawn))
            assert inks <= {"none", "currentColor", "#ffffff", FLAG}, figure.id
            # The colour stands on a bold sign alone, and what is told apart is told apart by shape.
            assert drawn.count(FLAG) == drawn.count('font-weight="600" class="flag"') == drawn.count(">≠<")
            told = [line for line in figure.lines if line.drawn in ("read", "line") and not figure.square]
            if _kind(figure) == "curves" and len({line.name for line in told}) > 1:
                assert "stroke-dasharray" in drawn, figure.id
            if _kind(figure) in ("ruler", "cells") and len({line.name for line in figure.lines}) > 1:
                assert "<circle" in drawn and "<rect" in drawn, figure.id


def _kind(figure):
    if figure.size == "spark":
        return "spark"
    if figure.row_names:
        return "cells" if figure.panels else "jnd" if figure.zero else "ruler"
    return "plane" if figure.square else "curves"


def test_a_png_is_the_same_drawing_at_three_hundred_an_inch():
    image = Image.open(io.BytesIO(figures.png(FIGURE))).convert("RGB")
    pixels = np.asarray(image).astype(int)
    assert image.width == pytest.approx((228 + 8) / 72 * 300, abs=2)
    assert np.ptp(pixels, axis=2).max() == 0 and pixels.min() < 60


@pytest.fixture(
    scope="module",
    params=[((1, 4), (4,)), pytest.param(((1, 2, 3, 4, 5, 6), (1, 2, 4)), marks=pytest.mark.long)],
    ids=lambda prints: str(len(prints[0])),
)
def demo_figures(request, demo_archive):
    """Every figure of these prints together, of some alone, and of two neutrality records."""
    together, alone = request.param
    with open_archive(demo_archive, read_only=True) as archive:
        bench = Bench(archive)
        made = [
            write_up.appendix(bench, together),
            *(write_up.appendix(bench, [each]) for each in alone),
            write_up.appendix(bench, [2, 3], Choices("neutrality")),
        ]
    return list(dict.fromkeys(b for each in made for b in each.blocks() if isinstance(b, Figure)))


@pytest.fixture
def case_on_sheet(archive_bench):
    return write_up._made(archive_bench, [1], write_up.WHOLE, write_up.NO_STYLE)[0][0]


def test_regions_that_nobody_has_looked_at_have_no_figure_and_no_evidence(case_on_sheet):
    assert set(regions.figures_of(case_on_sheet, "s")) == {"neutral", "shadow", "skin"}
    assert "saturation" not in case_on_sheet.evidence
    fewer = replace(case_on_sheet, shown=frozenset({"neutral"}))
    assert set(regions.figures_of(fewer, "s")) == {"neutral"}


def test_the_neutral_track_is_the_shift_from_the_aim_named(case_on_sheet):
    region = case_on_sheet.sheet.region("neutral")
    evidence = case_on_sheet.evidence["neutral"]
    drawn = page.neutral_track(region, evidence, "s")
    a, b = drawn.lines[:2]
    aim = np.column_stack([evidence.absolute[:, 0], evidence.grey_aim])
    expected = {
        round(float(lightness), 3): round(float(value), 3)
        for lightness, value in zip(evidence.absolute[:, 0], delta_ch(aim, evidence.absolute), strict=True)
    }
    for lightness, da, db in zip(a.x, a.y, b.y, strict=True):
        assert np.hypot(da, db) == pytest.approx(expected[lightness], abs=2e-3)
    worst = max(range(len(a.y)), key=lambda step: abs(a.y[step]))
    assert f"a* lies furthest at L* {a.x[worst]:.0f}" in drawn.alt


def test_steps_too_dark_for_a_hue_are_drawn_hollow(case_on_sheet):
    drawn = page.neutral_track(case_on_sheet.sheet.region("neutral"), case_on_sheet.evidence["neutral"], "s")
    hollow = [series for series in drawn.lines if series.drawn == "hollow"]
    assert hollow and min(hollow[0].x) < 8
    assert all(x >= 7 for series in drawn.lines if series.drawn == "read" for x in series.x)


def test_the_shadow_steps_show_aim_and_reading_of_every_step(case_on_sheet):
    drawn = page.steps(case_on_sheet.sheet.region("shadow"), case_on_sheet.evidence["shadow"], "s")
    aim, read = drawn.lines
    assert (aim.drawn, read.drawn) == ("aim", "point") and aim.x == read.x and len(read.x) == 16


def test_the_figure_of_grades_holds_the_grades_of_eye_and_instrument(case):
    drawn = page.eye_and_instrument(case.weighing.findings, case.shown, "s")
    eye, instrument = drawn.lines
    assert (eye.x, instrument.x) == ((4.0, 2.0, 4.0), (3.7, 3.9))
    assert "Shadow detail: eye 2.0, instrument 3.9" in drawn.alt


def test_the_figure_of_grades_says_the_figures_of_the_table_beside_it(case):
    """4.1451 is 4.1; by way of the 4.15 that the plot is drawn with, it would be 4.2."""
    neutral, *others = case.weighing.findings
    near = replace(neutral, instrument=replace(neutral.instrument, grade=4.1451))
    of_it = replace(case, weighing=replace(case.weighing, findings=(near, *others)))
    figure = page.eye_and_instrument(of_it.weighing.findings, of_it.shown, "s")
    row = next(row for row in regions.overview(of_it).rows if row[0] == "1 Neutral greyscale")
    assert "Neutral greyscale: eye 4.0, instrument 4.1;" in figure.alt
    assert row[2].startswith("4.1 ")
