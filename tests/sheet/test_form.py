"""The paper form for the booth."""

import io
from dataclasses import replace

import pypdf
import pytest

from evaluation.keyed import parsed
from evaluation.sheet.form import form_pdf, paper_of
from evaluation.sheet.layout import Question, Sheet
from evaluation.sheet.load import map_text, read_map
from evaluation.work.paper.answer import read_answer
from tests.cases import some_now


def words(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


@pytest.fixture(scope="module", params=some_now(["colour-9", "mono-7", "colour-4"], "colour-9"))
def sheet(request: pytest.FixtureRequest) -> Sheet:
    return read_map(map_text(request.param), request.param)


@pytest.fixture(scope="module")
def form(sheet: Sheet) -> bytes:
    return form_pdf(sheet)


def test_the_form_takes_two_leaves_at_most_in_type_of_eleven_points(sheet: Sheet, form: bytes) -> None:
    """Both sides of two leaves; on Letter as on the sheet's own paper, and every word of it on the page."""
    for paper, written in ((None, form), ("Letter", form_pdf(sheet, "Letter"))):
        pages = pypdf.PdfReader(io.BytesIO(written)).pages
        assert len(pages) <= 4
        wide, high = (float(side) / 72 * 25.4 for side in pages[0].mediabox[2:])
        assert (wide, high) == pytest.approx(paper_of(sheet, paper), abs=0.2)
        for page in pages:
            assert min(_baselines(page)) > 0


def _baselines(page: pypdf.PageObject) -> list[float]:
    """Of every piece of text on a page, from its foot."""
    found: list[float] = []

    def seen(text: str, page: list[float], own: list[float], _font: object, _size: float) -> None:
        if text.strip():
            found.append(own[4] * page[1] + own[5] * page[3] + page[5])

    page.extract_text(visitor_text=seen)
    return found


def test_the_form_explains_distances_lights_and_care(sheet: Sheet, form: bytes) -> None:
    text = " ".join(words(form).split())
    assert "35 to 40 cm" in text and "60 to 70 cm" in text and "diagonal" in text
    assert "viewing light" in text and "do not look into the lamp" in text
    lights = {question.light for region in sheet.regions for question in region.questions} - {""}
    assert all(light.split(",")[0] in text for light in lights)


@pytest.mark.parametrize(
    ("answer", "parts", "written"),
    [
        ("grade", (), "3"),
        ("count", (), "0"),
        ("cast", ("whole",), "21"),
        ("cast", ("whole",), "0"),
        ("yesno", (), "no"),
        ("place", (), "none"),
        ("place", (), "blue 7"),
        ("pick", ("dark",), "21, 34"),
        ("pick", ("dark",), "none"),
        ("pick", ("dark",), "outside 5"),
    ],
)
def test_every_code_of_the_form_is_taken_as_written(
    answer: str, parts: tuple[str, ...], written: str
) -> None:
    question = Question(id="q", answer=answer, ask="?", parts=parts)  # type: ignore[arg-type]
    table = parsed(f'q = "{written}"', "form", what="refused", form=True)
    assert read_answer(table, question, ("blue",)) is not None
    table.finish()


def test_every_region_and_the_code_are_on_it(sheet: Sheet, form: bytes) -> None:
    text = words(form)
    assert sheet.code in text
    for region in sheet.regions:
        assert region.title in text


def test_the_same_sheet_gives_the_same_bytes(sheet: Sheet, form: bytes) -> None:
    assert form_pdf(sheet) == form


@pytest.mark.parametrize(
    "hostile",
    some_now(
        ['#import "x"', "*bold* $x$ <a> [/a] @ref", "\x1b[31m", "#panic(1)", ']#eval("1")['],
        "\x1b[31m",
        ']#eval("1")[',
    ),
)
def test_text_of_a_map_is_never_markup(hostile: str) -> None:
    sheet = read_map(map_text("colour-4"), "colour-4")
    region = replace(sheet.regions[0], title=hostile)
    text = words(form_pdf(replace(sheet, title=hostile, regions=(region, *sheet.regions[1:]))))
    assert "\x1b" not in text
    assert hostile.replace("\x1b", "")[:6] in text.replace("␛", "")
