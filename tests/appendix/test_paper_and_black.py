"""Paper and black: densities against the published ones, and the gate over the black."""

from dataclasses import replace

import numpy as np
import pytest

from evaluation.appendix import paper_and_black
from evaluation.appendix.document import Paragraph, Points
from evaluation.metrics.brightener_shift import BrightenerShift
from evaluation.plain_text import DIFFERENCES
from evaluation.readings.run import Densities
from evaluation.telling.numbers import NOTHING
from evaluation.telling.paper_and_black import whitener_cell
from evaluation.telling.table import Table


def flat(taken, factors):
    """The run with flat spectra: row after row one reflectance factor."""
    run = replace(taken.run, spectra=np.repeat(np.array(factors)[:, None], 31, axis=1))
    return replace(taken, run=run)


@pytest.fixture
def flat_case(case, taken):
    # The visual density of a flat spectrum is -log10 R, whatever the weights (ISO 5-3: they sum to 1).
    return replace(case, taken=(flat(taken, (0.9, 0.5, 0.5, 0.00316, 0.4)),))


def test_density_of_black_and_its_distance_from_paper(flat_case):
    table = next(iter(paper_and_black.paper_and_black(flat_case)))
    paper, black = table.rows
    assert paper[5] == "0.05"  # -log10 0.9
    assert black[5:7] == ("2.50", "2.455")  # of 2.5003 and 0.0458, to one digit more than they are shown with
    assert DIFFERENCES in table.title


def test_what_flare_leaves_of_a_black_is_said_beside_it(flat_case):
    # -log10((10^-2.5 + f) / (1 + f)) for f = 0.005 and 0.01
    table = next(iter(paper_and_black.paper_and_black(flat_case)))
    assert table.rows[1][7] == "2.09 and 1.89"


def test_d_max_stands_beside_what_it_does_not_tell(flat_case):
    limits = next(block for block in paper_and_black.paper_and_black(flat_case) if isinstance(block, Points))
    assert [item.partition(":")[0] for item in limits.items] == ["D-max", "Density range"]


def test_the_black_stays_out_of_sight_until_its_region_is_graded(flat_case):
    hidden = replace(flat_case, shown=frozenset({"neutral"}))
    blocks = list(paper_and_black.paper_and_black(hidden))
    (table,) = [block for block in blocks if isinstance(block, Table)]
    assert [row[1] for row in table.rows] == ["paper"]
    assert [figure.title for figure in paper_and_black.spectra(hidden, "s")] == ["Spectrum of the paper"]


def test_whitener_is_told_only_where_both_conditions_were_read(flat_case, taken):
    assert not any(
        "Whitener" in getattr(block, "text", "") for block in paper_and_black.paper_and_black(flat_case)
    )
    m2 = replace(taken, run=replace(taken.run, stated=replace(taken.run.stated, condition="M2")))
    both = replace(flat_case, taken=(taken, m2))
    told = next(b for b in paper_and_black.paper_and_black(both) if isinstance(b, Paragraph))
    assert told.text == "Whitener: b* of the paper +0.0 without ultraviolet (M2 less M1)."
    m0 = replace(taken, run=replace(taken.run, stated=replace(taken.run.stated, condition="M0")))
    told = next(
        b
        for b in paper_and_black.paper_and_black(replace(flat_case, taken=(m0, m2)))
        if isinstance(b, Paragraph)
    )
    assert told.text == "Whitener: b* of the paper +0.0 without ultraviolet (M2 less M0)."


def test_a_column_of_whitener_names_m0_in_place_of_its_unit():
    assert whitener_cell(BrightenerShift(3.14, "M1"), " b*") == "+3.1 b*"
    assert whitener_cell(BrightenerShift(-0.04, "M0"), " b*") == "+0.0 (M0)" and whitener_cell(None) == "-"


def test_densities_of_the_instrument_stand_beside_ours(flat_case):
    (taken,) = flat_case.taken
    values = np.array([[0.07, 0.06], [1, 1], [1, 1], [2.41, np.nan], [1, 1]])
    given = replace(taken.run, densities=Densities(("visual", "blue"), values, "E"))
    blocks = list(paper_and_black.paper_and_black(replace(flat_case, taken=(replace(taken, run=given),))))
    table = next(block for block in blocks if isinstance(block, Table) and "instrument gave" in block.title)
    assert table.heads[:7] == ("readings", "patch", "status", "visual", "red", "green", "blue")
    assert [row[1:] for row in table.rows] == [
        ("paper", "E", "0.07", NOTHING, NOTHING, "0.06", NOTHING),
        ("black", "E", "2.41", *[NOTHING] * 4),
    ]
    assert not any(
        "instrument gave" in getattr(block, "title", "")
        for block in paper_and_black.paper_and_black(flat_case)
    )
