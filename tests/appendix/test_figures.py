"""Figures as numbers and as drawings: what they hold, what is said of them, that they repeat to the byte."""

import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from evaluation.appendix import plots, regions
from evaluation.colorimetry.difference import delta_ch
from evaluation.telling.curves import page
from evaluation.telling.figure import Figure, Line
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
SVG = "{http://www.w3.org/2000/svg}"


def texts(svg):
    return [element.text for element in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_the_same_figure_gives_the_same_svg_without_a_date():
    first = plots.svg.__wrapped__(FIGURE)
    assert first == plots.svg.__wrapped__(FIGURE)
    assert "2026" not in first and "dc:date" not in first


def test_axes_carry_their_units_and_every_curve_its_name():
    written = texts(plots.svg(FIGURE))
    assert {"lightness, L*", "shift, CIELAB", "aim", "a*", "b*", "b*, not counted"} <= set(written)


def test_text_of_a_user_is_never_read_as_mathematics():
    hostile = replace(FIGURE.lines[1], name="$\\frac$", label="$x^2$ <b>")
    assert {"$\\frac$", "$x^2$ <b>"} <= set(
        texts(plots.svg(replace(FIGURE, lines=(hostile, FIGURE.lines[2]))))
    )


def test_a_plot_is_drawn_in_greys_alone():
    import io

    pixels = np.asarray(Image.open(io.BytesIO(plots.png(FIGURE))).convert("RGB")).astype(int)
    assert np.ptp(pixels, axis=2).max() == 0 and pixels.min() < 60


def test_the_style_of_the_user_s_own_plots_does_not_reach_these():
    import matplotlib as mpl

    before = plots.svg.__wrapped__(FIGURE)
    with mpl.rc_context({"font.size": 22, "axes.grid": True}):
        assert plots.svg.__wrapped__(FIGURE) == before
        assert mpl.rcParams["font.size"] == 22


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
