"""Curves laid over each other and facts beside them, on the demo's prints, through the gate."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path

import pytest

from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.telling.curves import laid_over
from evaluation.telling.figure import line
from evaluation.work.bench import Bench
from evaluation.work.compare import curves as compare_curves
from evaluation.work.compare import document
from evaluation.work.compare import facts as compare_facts
from evaluation.work.look import look


@pytest.fixture
def bench(finished: Path) -> Iterator[Bench]:
    with open_archive(finished) as archive:
        yield Bench(archive)


def test_letters_stand_for_the_prints_in_their_order(bench: Bench) -> None:
    laying = compare_curves.laid_over(bench, (4, 1), "neutral")
    first = laying.curves[0]
    assert [(each.mark, each.name) for each in first.lines] == [("a", "session 4"), ("b", "session 1")]
    assert (first.x, first.y, first.zero) == ("L*", "b*", True)


@pytest.mark.parametrize(
    ("region", "curves"),
    [
        ("neutral", ["b* of greys", "a* of greys", "tone"]),
        ("shadow", ["steps", "b* of greys", "a* of greys"]),
        ("highlight", ["steps", "b* of greys", "a* of greys"]),
        ("saturation", ["hue", "chroma", "apart"]),
        ("skin", ["skin hue", "skin chroma", "apart"]),
        ("detail", []),
    ],
)
def test_each_region_has_its_curves_and_all_have_paper_and_black(
    bench: Bench, region: str, curves: list[str]
) -> None:
    found = compare_curves.laid_over(bench, (1, 4), region).curves
    assert [curve.id for curve in found] == [*curves, "paper", "black"]


def test_the_spectrum_of_a_paper_is_in_per_cent_over_nm(bench: Bench) -> None:
    """The demo's lustre is a white paper with whitener: it reflects 80 % and more from 450 nm on."""
    curve = compare_curves.laid_over(bench, (1,), "neutral").curves[-2]
    assert (curve.id, curve.x, curve.y) == ("paper", "nm", "%")
    assert all(80 < y < 120 for x, y in curve.lines[0].points if x >= 450)


def test_a_hidden_region_is_not_drawn_nor_its_black_told(bench: Bench) -> None:
    look.start(bench, 4, kind="quick")
    laying = compare_curves.laid_over(bench, (1, 4), "neutral")
    assert all(line.name == "session 1" for curve in laying.curves for line in curve.lines)
    assert laying.left == ("session 4: not graded yet",)
    facts = compare_facts.facts(bench, 4)
    assert (facts.dmax, facts.range, facts.whitener) == (None, None, None)
    assert facts.why == "the black is not graded yet"


def test_facts_are_what_the_papers_of_the_demo_are(bench: Bench) -> None:
    """The demo's papers: lustre D-max about 2.6 and b* +4.1 without ultraviolet, rag about 1.65 and +0.1."""
    lustre, rag = compare_facts.facts(bench, 1), compare_facts.facts(bench, 4)
    assert lustre.dmax == pytest.approx(2.6, abs=0.15) and rag.dmax == pytest.approx(1.65, abs=0.1)
    assert lustre.whitener is not None and lustre.whitener.db == pytest.approx(4.1, abs=0.4)
    assert (
        rag.whitener is not None
        and rag.whitener.less == "M1"
        and rag.whitener.db == pytest.approx(0.1, abs=0.3)
    )
    assert lustre.range is not None and lustre.dmin is not None and lustre.dmax is not None
    assert lustre.range == pytest.approx(lustre.dmax - lustre.dmin)


def test_numbers_stand_in_columns_where_steps_are_shared_and_as_ends_otherwise() -> None:
    a = line("session 1", [1, 2], [2.0, 3.0], "a")
    heads, rows = laid_over.numbers("step", [a, line("session 4", [1, 2], [5.0, 6.0], "b")])
    assert (heads, rows) == (("step", "a", "b"), (("1", "2.0", "5.0"), ("2", "3.0", "6.0")))
    _, apart = laid_over.numbers("L*", [a, line("session 4", [3], [5.0], "b")])
    assert apart == (("a", "2.0", "1.0", "3.0", "2.0"), ("b", "5.0", "3.0", "5.0", "3.0"))


def test_a_picture_is_sound_svg_with_the_names_as_text(bench: Bench) -> None:
    curve = compare_curves.laid_over(bench, (1, 4), "neutral").curves[0]
    text = document.picture(curve, {1: "Lustre <b>", 4: "Rag $x$ & co"}, "Neutral greyscale")
    root = ET.fromstring(text)
    shown = "".join(root.itertext())
    assert root.tag.endswith("svg")
    assert "Lustre <b>" in shown and "Rag $x$ & co" in shown


def test_a_curve_that_is_not_there_is_refused_with_those_that_are(bench: Bench) -> None:
    laying = compare_curves.laid_over(bench, (1, 4), "skin")
    with pytest.raises(UsageProblem, match="skin hue, skin chroma, apart, paper, black"):
        document.chosen(laying, "hues")
