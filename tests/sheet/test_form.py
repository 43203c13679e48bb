"""The paper form for the booth."""

import io
from dataclasses import replace

import pypdf
import pytest

from evaluation.sheet.form import form_pdf
from evaluation.sheet.layout import Sheet
from evaluation.sheet.load import map_text, read_map


def words(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


@pytest.fixture(scope="module", params=["colour-9", "mono-7", "colour-4"])
def sheet(request: pytest.FixtureRequest) -> Sheet:
    return read_map(map_text(request.param), request.param)


@pytest.fixture(scope="module")
def form(sheet: Sheet) -> bytes:
    return form_pdf(sheet)


def test_the_form_is_one_page(form: bytes) -> None:
    assert len(pypdf.PdfReader(io.BytesIO(form)).pages) == 1


def test_every_region_and_the_code_are_on_it(sheet: Sheet, form: bytes) -> None:
    text = words(form)
    assert sheet.code in text
    for region in sheet.regions:
        assert region.title in text


def test_the_same_sheet_gives_the_same_bytes(sheet: Sheet, form: bytes) -> None:
    assert form_pdf(sheet) == form


@pytest.mark.parametrize(
    "hostile", ['#import "x"', "*bold* $x$ <a> [/a] @ref", "\x1b[31m", "#panic(1)", ']#eval("1")[']
)
def test_text_of_a_map_is_never_markup(hostile: str) -> None:
    sheet = read_map(map_text("colour-4"), "colour-4")
    region = replace(sheet.regions[0], title=hostile)
    text = words(form_pdf(replace(sheet, title=hostile, regions=(region, *sheet.regions[1:]))))
    assert "\x1b" not in text
    assert hostile.replace("\x1b", "")[:6] in text.replace("␛", "")
