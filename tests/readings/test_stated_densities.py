"""Densities that a file gives are kept with their status, beside the computed ones; a gap costs nothing."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from evaluation.errors import FileProblem
from evaluation.readings.detect import read_readings
from evaluation.readings.file_facts import file_facts
from evaluation.work.weigh.patches import PatchView, UnderCondition
from tests.readings.test_cxf import cxf, item, lab, spec
from tui.screens.read import patch_lines

Write = Callable[..., Path]


def table(*rows: str, head: str = "", names: str = "D_RED\tD_GREEN\tD_BLUE\tD_VIS") -> str:
    return (
        f"CGATS.17\n{head}BEGIN_DATA_FORMAT\nSAMPLE_ID\tLAB_L\tLAB_A\tLAB_B\t{names}\nEND_DATA_FORMAT\n"
        "BEGIN_DATA\n" + "\n".join(rows) + "\nEND_DATA\n"
    )


PAPER = "1\t95\t0\t-2\t0.05\t0.06\t0.08\t0.06"
BLACK = "2\t10\t0\t0\t1.91\t1.92\t1.93\t1.92"


def test_densities_and_their_status_are_kept_and_shown(write: Write) -> None:
    """Field names D_RED, D_GREEN, D_BLUE, D_VIS of ISO 28178; status letters of ISO 5-3."""
    path = write(table(PAPER, BLACK, head='DENSITY_STATUS "T"\n'), "a.txt")
    (run,) = read_readings(path)
    assert run.densities is not None and run.densities.filters == ("visual", "red", "green", "blue")
    np.testing.assert_allclose(run.densities.values, [[0.06, 0.05, 0.06, 0.08], [1.92, 1.91, 1.92, 1.93]])
    assert not any("columns not used" in remark for remark in run.remarks)
    darkest = file_facts(path)["darkest"]
    assert darkest["given"] == {
        "status": "T",
        "densities": {"visual": 1.92, "red": 1.91, "green": 1.92, "blue": 1.93},
    }
    # L* 10 is Y 1.126 by CIE 15, so D 1.95: computed, and not what the instrument gave.
    assert darkest["density"] == pytest.approx(1.95, abs=0.01)


@pytest.mark.parametrize(
    ("head", "status"),
    [
        ('INSTRUMENTATION "densitometer, status E"\n', "E"),
        ("FILTER M\n", "M"),
        ('STATUS "A"\nCOMMENT "Status T"\n', None),
        ("", None),
    ],
)
def test_the_status_is_what_the_file_states(write: Write, head: str, status: str | None) -> None:
    (run,) = read_readings(write(table(PAPER, head=head), "a.txt"))
    assert run.densities is not None and run.densities.status == status


@pytest.mark.parametrize("gap", ["-", "---", "n/a", "1e9", "nan"])
def test_a_gap_in_the_densities_leaves_the_colours(write: Write, gap: str) -> None:
    (run,) = read_readings(write(table(PAPER, f"2\t10\t0\t0\t1.91\t1.92\t1.93\t{gap}"), "a.txt"))
    assert run.lab is not None and run.lab[:, 0].tolist() == [95, 10] and run.densities is not None
    assert run.densities.mean("visual", [1]) is None
    assert run.densities.mean("visual", [0, 1]) == pytest.approx(0.06)
    assert run.densities.mean("red", [1]) == 1.91


def test_the_density_through_the_major_filter_is_kept(write: Write) -> None:
    """D_MAJOR_FILTER of ISO 28178, from memory: the density of the filter that reads most."""
    (run,) = read_readings(write(table("1\t50\t70\t-2\t0.61\t1.32", names="D_VIS\tD_MAJOR_FILTER"), "a.txt"))
    assert run.densities is not None and run.densities.mean("major", [0]) == 1.32
    assert not any("columns not used" in remark for remark in run.remarks)


def density(filter_: str, value: object, status: str = "T", more: str = "", specification: str = "cs") -> str:
    return (
        f'<ColorValues><ColorDensity ColorSpecification="{specification}"><Density>{value}</Density>'
        f"<Status>{status}</Status><Filter>{filter_}</Filter>{more}</ColorDensity></ColorValues>"
    )


def test_densities_of_cxf_are_kept_with_their_status(write: Write) -> None:
    """ColorDensity of ISO 17972-1, its elements and words as in the schema that colour-cxf is made from."""
    paper = lab(95, 0, -2) + density("Visual", 0.06) + density("Cyan", 0.05)
    black = (
        lab(10, 0, 0)
        + density("Visual", 1.86, more="<BaseOffset>0.06</BaseOffset>")
        + density("Visual", 9, status="E")
        + density("Red", "none")
        + density("Visual", 3, specification="other")
        + lab(11, 0, 0, specification="other")
    )
    objects = item(paper, "1", "a") + item(black, "2", "b")
    path = write(cxf(objects, spec() + spec("other", light="M2_UVExcluded")), "a.cxf")
    run, without = read_readings(path)
    assert run.densities is not None and run.densities.status == "T"
    assert run.densities.filters == ("visual", "red")
    np.testing.assert_allclose(run.densities.values, [[0.06, 0.05], [1.92, np.nan]])
    assert without.stated.condition == "M2" and without.densities is not None
    assert without.densities.mean("visual", [0]) == 3


def test_densities_alone_are_no_result_in_cxf_either(write: Write) -> None:
    with pytest.raises(FileProblem, match=r"Found: densities \(ColorDensity\) only"):
        read_readings(write(cxf(item(density("Visual", 1.2))), "a.cxf"))


def test_a_patch_opened_shows_both() -> None:
    under = UnderCondition("M1", "a.txt", (10.0, 0.0, 0.0), 1, None, (), 1.95, 1.92, "T")
    view = PatchView("N1", "black", "Greys", (under,), None, None, None, (), None, "")
    lines = [str(line) for line in patch_lines.opened(view, density=True, width=78, room=20)]
    both = [line.split() for text in lines for line in text.splitlines() if "1.9" in line]
    assert ["density", "1.95"] in both and ["given", "T", "1.92"] in both


def test_densities_beside_device_values_alone_are_no_list_of_patches(write: Write) -> None:
    text = table("1\t255\t255\t255\t0.06", names="D_VIS")
    text = text.replace("LAB_L\tLAB_A\tLAB_B", "RGB_R\tRGB_G\tRGB_B")
    path = write(text, "a.txt")
    with pytest.raises(FileProblem, match="Found: densities only"):
        read_readings(path)
    assert any("densities only" in warning for warning in file_facts(path)["warnings"])
