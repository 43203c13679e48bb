"""CxF3 read object by object is what it is element by element: the same documents, runs and refusals."""

from dataclasses import fields, is_dataclass
from pathlib import Path
from random import Random

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evaluation.errors import Cancelled, DrydownError
from evaluation.readings.cxf import alike
from evaluation.readings.cxf.document import ReadItem
from evaluation.readings.cxf.parse import parse
from evaluation.readings.cxf.runs import runs_of
from evaluation.readings.source import Source
from evaluation.readings.supplied import Supplied
from tests.readings.test_cxf import FLAT, cxf, item, lab, rgb, spec, spectrum
from tests.readings.test_cxf_inks_and_places import inks, tags
from tests.readings.test_robustness import mutated

SAMPLE = Path(__file__).parent / "data" / "cxf3_rgb_target_m0_m1_m2.cxf"
DATED = 'ColorSpecification="cs" StartWL="380" MeasureDate="2026-03-02T14:05:00Z"'
ENDS = 'ColorSpecification="cs" StartWL="380" EndWL="730"'
DENSITY = (
    '<ColorValues><ColorDensity ColorSpecification="cs"><Density>1.2</Density><Status>T</Status>'
    "<Filter>Red</Filter></ColorDensity></ColorValues>"
)
POINTS = "".join(f'<SpectralPoint WL="{nm}"> 0.5 </SpectralPoint>' for nm in range(380, 731, 10))
POINTS = f'<ColorValues><CustomSpectrum ColorSpecification="cs">{POINTS}</CustomSpectrum></ColorValues>'
MANY = 24


def objects(inside: str, count: int = MANY, between: str = "\n", name: str = "Grün {}") -> str:
    return between.join(item(inside, name.format(n), f"p{n}") for n in range(count))


def source(content: str | bytes) -> Source:
    return Source("a.cxf", content if isinstance(content, bytes) else content.encode(), "digest")


def outcome(read: object, content: Source) -> object:
    """Document and runs that a reader makes of a file, or what it refuses it with."""
    try:
        document = read(content)  # type: ignore[operator]
        items = [ReadItem(*(getattr(each, one.name) for one in fields(ReadItem))) for each in document.items]
        runs = runs_of(document, content, Supplied(), "CxF3 1", asking=False)
        return items, document.specifications, document.created, [plain(run) for run in runs]
    except DrydownError as problem:
        return type(problem), str(problem)


def plain(value: object) -> object:
    """A value that compares by what is in it, arrays too."""
    if isinstance(value, np.ndarray):
        return value.shape, value.tobytes()
    if is_dataclass(value):
        return [plain(getattr(value, each.name)) for each in fields(value)]
    return [plain(each) for each in value] if isinstance(value, tuple) else value


def assert_same(content: Source) -> None:
    assert outcome(alike.document_of, content) == outcome(parse, content)


ALIKE = {
    "spectra, colours and device values": cxf(objects(spectrum() + lab() + rgb(255, 0, 9))),
    "pretty": cxf(objects(spectrum() + lab(), between="\r\n  ") + item(lab("\n-0_5"))).replace(
        "><", ">\r\n    <"
    ),
    "with dates and tags": cxf(objects(spectrum(attributes=DATED) + tags(1, 2, 3))),
    "with densities": cxf(objects(lab() + DENSITY)),
    "with inks": cxf(objects(lab() + inks("1 2 3 4"))),
    "with a range": cxf(objects(lab() + rgb(1, 2, 3, "", "<MaxRange>100</MaxRange>"))),
    "of several kinds": cxf(objects(lab(), 9) + objects(rgb(0, 0, 9), 9) + objects(lab() + lab(), 9)),
    "an entity in a name": cxf(objects(lab()) + item(lab(), "Black &amp; white", "x")),
    "one spectrum longer": cxf(objects(spectrum()) + item(spectrum(f"{FLAT} 0.5"))),
    "a value that is none": cxf(objects(lab()) + item(lab("−5")) + item(lab(""))),
    "a spectrum of nothing": cxf(objects(spectrum()) + item(spectrum(" "))),
    "none for its step": cxf(objects(spectrum()), spec(wavelengths="")),
    "comments beside them": cxf(objects(lab())).replace("<Res", "<!-- by hand --><?see this ?><Res"),
    "the first has no step": cxf(
        item(spectrum("0.5", ENDS) + lab()) + objects(spectrum(FLAT, ENDS) + lab()), spec(wavelengths="")
    ),
    "with a byte order mark": "\ufeff" + cxf(objects(lab())),
}
NOT_ALIKE = {
    "few": cxf(objects(lab(), 3)),
    "irregular spectra": cxf(objects(POINTS)),
    "spot colours": cxf(objects(lab() + inks("1 2 3 4", Orange=5))),
    "a comment before": cxf(objects(lab())).replace("<Res", f"<!-- {item(lab())} --><Res"),
    "a comment between": cxf(objects(lab()) + f"<!-- {item(lab())} -->" + item(lab())),
    "two dashes in a comment": cxf(objects(lab() + "<!-- <y>a</y> -->") + item(lab() + "<!-- <y>--</y> -->")),
    "an instruction that ends": cxf(
        objects(lab() + '<?see Name="a"?>') + item(lab() + '<?see Name="?><y/>"?>')
    ),
    "not printed text": cxf(objects(lab()) + item(lab("]]>"))),
    "a control character": cxf(objects(lab()) + item(lab("\x01"))),
    "a character XML has no room for": cxf(objects(lab()) + item(lab(), "\uffff")),
    "marks": cxf(objects(lab()) + item(f"<y>\x7f1\x7f</y>{lab()}")),
    "another namespace": cxf(objects(lab().replace("<ColorCIELab", '<ColorCIELab xmlns="urn:y"'))),
    "foreign resources": cxf("").replace(
        "</CxF>", f"<CustomResources>{objects(lab())}</CustomResources></CxF>"
    ),
    "more objects further down": cxf(objects(lab()) + f"<y>{item(lab())}</y>"),
    "many kinds": cxf("".join(item(lab() + "<y/>" * n) for n in range(MANY))),
    "cut": cxf(objects(lab()))[:-9],
    "another encoding": cxf(objects(lab())).replace("UTF-8", "windows-1252").encode("latin-1"),
    "a wrong encoding": cxf(objects(lab())).replace("UTF-8", "windows-1252"),
    "not UTF-8": cxf(objects(lab())).encode("latin-1"),
    "a doctype": cxf(objects(lab())).replace("<CxF", "<!DOCTYPE CxF><CxF"),
}


@pytest.mark.parametrize("name", [*ALIKE, *NOT_ALIKE])
def test_the_two_ways_agree(name: str) -> None:
    content = source({**ALIKE, **NOT_ALIKE}[name])
    assert (alike._alike(content, None) is not None) == (name in ALIKE)
    assert_same(content)


def test_a_real_looking_file_of_four_kinds_is_read_by_kind() -> None:
    content = source(SAMPLE.read_bytes())
    document = alike._alike(content, None)
    assert document is not None and len({each.kind for each in document.items}) == 4
    assert_same(content)


def test_one_can_stop_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(alike, "_BETWEEN_PROGRESS", 10)
    seen = []

    def progress(done: int, total: int) -> None:
        seen.append(done)
        if len(seen) == 2:
            raise Cancelled("stopped")

    content = source(cxf(objects(lab())))
    with pytest.raises(Cancelled):
        alike.document_of(content, progress)
    assert 0 < seen[0] < seen[1] < len(content.data)


DRAWN = settings(suppress_health_check=list(HealthCheck), deadline=None)
INSIDE = (
    spectrum(),
    spectrum(attributes=DATED),
    lab(),
    rgb(1, 2, 3),
    tags(1, 2, 3),
    DENSITY,
    inks("1 2 3 4"),
)
INSIDE += (POINTS, inks("1 2 3 4", Orange=5), "<y/>", "\n", "<TransmittanceSpectrum/>", "<!-- y -->")
ODD = (
    "",
    " ",
    "x",
    "é",
    "&amp;",
    "&#13;",
    "&y;",
    "]]>",
    ">",
    "\x7f1\x7f",
    "\r\n",
    "\t",
    "\x01",
    "<y/>",
    "1e999",
)


@DRAWN
@given(data=st.data())
def test_drawn_files(data: st.DataObject) -> None:
    """Up to three kinds of objects in turn, and odd values here and there."""
    kinds = data.draw(st.lists(st.lists(st.sampled_from(INSIDE), max_size=4), min_size=1, max_size=3))
    made = [item("".join(kinds[n % len(kinds)]), f"P{n}", f"p{n}") for n in range(MANY)]
    for _ in range(data.draw(st.integers(0, 2))):
        at, old = (
            data.draw(st.integers(0, MANY - 1)),
            data.draw(st.sampled_from(("P", ">0.5", "50", "1", '"'))),
        )
        made[at] = made[at].replace(old, old + data.draw(st.sampled_from(ODD)), 1)
    assert_same(source(cxf("\n".join(made))))


@DRAWN
@given(seed=st.integers(0, 2**32), name=st.sampled_from(sorted(ALIKE)))
def test_damaged_files(seed: int, name: str) -> None:
    assert_same(source(mutated(ALIKE[name].encode(), Random(seed), 2)))
