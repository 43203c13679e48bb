"""CxF3: inks beyond CMYK, where a patch lies on its chart, and when its spectrum was measured."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from evaluation.readings.detect import read_readings
from evaluation.readings.file_facts import file_facts
from evaluation.readings.run import Run
from evaluation.readings.suspect_rows import suspect_rows
from tests.readings.test_cxf import NS, cxf, item, lab, rgb, spectrum
from tests.readings.test_suspect_rows import printed_and_lab, run_of

Write = Callable[..., Path]


def one(path: Path) -> Run:
    (run,) = read_readings(path)
    return run


def inks(cmyk: str, **spots: object) -> str:
    parts = "".join(
        f"<{ink}>{value}</{ink}>"
        for ink, value in zip(("Cyan", "Magenta", "Yellow", "Black"), cmyk.split(), strict=False)
    )
    beyond = "".join(
        f"<SpotColor><Name>{name}</Name><Percentage>{value}</Percentage></SpotColor>"
        for name, value in spots.items()
    )
    return f"<DeviceColorValues><ColorCMYKPlusN>{parts}{beyond}</ColorCMYKPlusN></DeviceColorValues>"


def test_spot_colours_are_inks_like_others(write: Write) -> None:
    """ColorCMYKPlusN of ISO 17972-1: percent of each ink; a spot colour that is not named is not printed."""
    sent = [inks("0 0 0 0"), inks("10 20 30 40", Orange=50, Green=60), inks("0 0 0 0", Green="70.5")]
    run = one(
        write(cxf("".join(item(lab() + each, f"P{n}", f"p{n}") for n, each in enumerate(sent))), "a.cxf")
    )
    assert run.device_space == "6CLR" and run.device is not None and run.lab is not None
    np.testing.assert_allclose(
        run.device, [[0] * 6, [0.1, 0.2, 0.3, 0.4, 0.5, 0.6], [0, 0, 0, 0, 0, 0.705]], atol=1e-12
    )
    assert "2 inks beyond CMYK: Orange, Green" in run.remarks


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ([inks("1 2 3 4", Orange=5), inks("1 2 3", Orange=5)], "objects have different inks"),
        ([inks("1 2 3 4", **{f"Ink{n}": 1 for n in range(12)})], "more than 15 inks"),
    ],
)
def test_inks_that_cannot_be_used_leave_the_colours(write: Write, sent: list[str], said: str) -> None:
    run = one(write(cxf("".join(item(lab() + each) for each in sent)), "a.cxf"))
    assert run.device is None and run.lab is not None and len(run) == len(sent)
    assert any(said in remark for remark in run.remarks)


def tags(page: int, row: int, column: int) -> str:
    every = zip(("Page", "Row", "Column"), (page, row, column), strict=True)
    return "".join(f'<Tag Name="{name}" Value="{value}"/>' for name, value in every)


def test_page_row_and_column_are_kept_of_target_or_measurement(write: Write) -> None:
    objects = (
        item(rgb(255, 0, 0) + tags(1, 0, 0), "1", "t1")
        + item(rgb(0, 255, 0) + tags(2, 3, 1), "2", "t2")
        + item(lab(50), "1", "m1", "M1_Measurement")
        + item(lab(60), "2", "m2", "M1_Measurement")
    )
    run = one(write(cxf(objects), "a.cxf"))
    assert [ref.place for ref in run.patches] == ["page 1, row 0, column 0", "page 2, row 3, column 1"]
    assert [ref.strip for ref in run.patches] == ["page 1, row 0", "page 2, row 3"]
    alone = one(write(cxf(item(lab() + '<Tag Name="Row" Value="2"/>')), "b.cxf"))
    assert (alone.patches[0].place, alone.patches[0].strip) == ("", "")


def test_two_strips_read_in_each_others_place_are_named_as_strips() -> None:
    colours, seen = printed_and_lab(600)
    read = seen.copy()
    read[20:30], read[50:60] = seen[50:60], seen[20:30]
    plain = run_of(read, colours)
    placed = replace(
        plain,
        patches=tuple(
            replace(ref, place=f"page 1, row {row // 10}, column {row % 10}")
            for row, ref in enumerate(plain.patches)
        ),
    )
    assert len([odd for odd in suspect_rows(plain, read, colours) if odd.kind == "swapped"]) > 3
    (found,) = [odd for odd in suspect_rows(placed, read, colours) if odd.kind == "swapped"]
    assert found.sentence.startswith("strips look swapped: page 1, row 2 and page 1, row 5, ")
    assert set(found.rows) <= {*range(20, 30), *range(50, 60)}


def dated(*dates: str) -> str:
    return cxf(
        "".join(
            item(spectrum(attributes=f'ColorSpecification="cs" StartWL="380" MeasureDate="{date}"'), f"P{n}")
            for n, date in enumerate(dates)
        )
    )


def test_the_date_of_a_spectrum_counts_before_that_of_the_file(write: Write) -> None:
    """MeasureDate of ISO 17972-1; of several dates the last."""
    file_date = (
        "<FileInformation><CreationDate>2026-05-01T00:00:00Z</CreationDate></FileInformation><Resources>"
    )
    text = dated("2026-03-02T14:05:00+01:00", "2026-03-02T14:25:00+01:00").replace("<Resources>", file_date)
    run = one(write(text, "a.cxf"))
    assert run.stated.measured_at == datetime(2026, 3, 2, 13, 25, tzinfo=UTC)
    assert not any("measured between" in remark for remark in run.remarks)
    apart = one(write(dated("2026-03-02T14:05:00Z", "2026-03-05T14:25:00Z"), "b.cxf"))
    assert any("between 2026-03-02 14:05 and 2026-03-05 14:25" in remark for remark in apart.remarks)
    none = one(write(dated("yesterday"), "c.cxf"))
    assert none.stated.measured_at is None and any("“yesterday”" in remark for remark in none.remarks)


def test_counts_paper_and_darkest_of_a_sample_by_another_way() -> None:
    """The sample of colour-cxf, counted with ElementTree, its colours as it gives them beside the spectra."""
    pytest.importorskip("colour_cxf", reason="colour-cxf is not installed")
    with resources.as_file(resources.files("colour_cxf") / "tests" / "resources" / "sample.cxf") as path:
        facts = file_facts(path)
        objects = list(ElementTree.parse(path).iter(f"{{{NS}}}Object"))
    given = np.array(
        [[float(each.findtext(f".//{{{NS}}}{part}", "nan")) for part in "LAB"] for each in objects]
    )
    lightest, darkest = given[given[:, 0].argmax()], given[given[:, 0].argmin()]
    assert facts["patches"] == len(objects) == 144
    np.testing.assert_allclose(facts["paper"]["lab"], lightest, atol=0.2)
    np.testing.assert_allclose(facts["darkest"]["lab"], darkest, atol=0.2)
    assert facts["darkest"]["name"] == objects[int(given[:, 0].argmin())].get("Name")
    # D of the darkest from its L* by the definition of CIE 15; visual density and Y differ little for greys.
    y = ((darkest[0] + 16) / 116) ** 3
    assert facts["darkest"]["density"] == pytest.approx(-np.log10(y), abs=0.03)
