"""The booth's form: read against the sheet, every mistake named; the blank form holds no answer."""

import io
import re
import tomllib
from pathlib import Path

import pytest

from evaluation.errors import SheetProblem
from evaluation.session import Cast, Count, Grade, Pick, Place
from evaluation.sheet.load import map_text, read_map
from evaluation.work.paper.form import blank_form
from evaluation.work.paper.viewing import read_form

CHART = read_map((Path(__file__).parents[1] / "sheet/data/chart-24.toml").read_text("utf-8"), "chart")


def refused(text: str) -> str:
    with pytest.raises(SheetProblem) as caught:
        read_form(text, "grades.toml", CHART)
    return str(caught.value)


@pytest.mark.parametrize("name", ["chart", "colour-9", "colour-4", "mono-7"])
def test_a_blank_form_holds_no_answer_and_says_so(name: str) -> None:
    sheet = CHART if name == "chart" else read_map(map_text(name), name)
    with pytest.raises(SheetProblem, match="no answer found; every line of the form is blank"):
        read_form(blank_form(sheet), "grades.toml", sheet)


@pytest.mark.parametrize("name", ["chart", "colour-9", "colour-4", "mono-7"])
def test_a_blank_form_has_a_place_for_every_question(name: str) -> None:
    sheet = CHART if name == "chart" else read_map(map_text(name), name)
    form = tomllib.loads(blank_form(sheet))
    asked = {region.id: {question.id for question in region.questions} for region in sheet.regions}
    assert {name: set(table) - {"faults", "again", "remark", "absent"} for name, table in form.items()} == {
        "viewing": {"observer"},
        **asked,
    }


def test_answers_of_every_kind_are_read() -> None:
    sheet = read_map(map_text("colour-4"), "colour-4")
    form = read_form(
        """
        [neutral]
        cast = { dark = "none", middle = "yellow, just", light = 0 }
        overall = 4
        [shadow]
        first = 5
        [saturation]
        clip = { red = 7, blue = true }
        turn = "none"
        faults = ["clip", { name = "dull", where = "greens" }]
        again = true
        remark = "greens"
        """,
        "grades.toml",
        sheet,
    )
    assert form.answers["neutral", "cast"] == Cast(
        (("dark", "none", None), ("middle", "yellow", "just"), ("light", "none", None))
    )
    assert form.answers["neutral", "overall"] == Grade(4)
    assert form.answers["shadow", "first"] == Count(5)
    assert form.answers["saturation", "clip"] == Place((("red", 7), ("blue", None)))
    assert form.answers["saturation", "turn"] == Place(())
    assert form.faults == (("saturation", "clip", ""), ("saturation", "dull", "greens"))
    assert form.again == ("saturation",) and form.remarks == {"saturation": "greens"}


COLOUR = read_map(map_text("colour-9"), "colour-9")


def test_a_tie_and_a_way_out_of_the_ring_are_picks() -> None:
    form = read_form(
        "[ring]\npick_dark = [61, 46]\npick_mid = 'outside: blue'\npick_light = 'none'", "g.toml", COLOUR
    )
    assert form.answers["ring", "pick_dark"] == Pick((61, 46))
    assert form.answers["ring", "pick_mid"] == Pick((), "blue")
    assert form.answers["ring", "pick_light"] == Pick(())


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[ring]\npick_dark = 999999", "numbers printed in that group (1"),
        ("[shadow]\nfirst = 17", "expected a number from 0 to 16, as printed, found “17”"),
        ("[saturation]\nclip = { ultraviolet = 3 }", "one of red, orange"),
        ("[saturation]\nclip = { blue = 9 }", "a step of blue from 1 to 8"),
    ],
)
def test_what_the_sheet_does_not_show_cannot_be_named(text: str, told: str) -> None:
    with pytest.raises(SheetProblem) as caught:
        read_form(text, "grades.toml", COLOUR)
    assert told in str(caught.value)


def test_the_form_of_a_hostile_map_is_a_form() -> None:
    hostile = (Path(__file__).parents[1] / "sheet/data/chart-24.toml").read_text("utf-8")
    hostile = hostile.replace('title = "Skin', 'title = "\\u001b[31m\\n[skin]\\u0007 Skin')
    sheet = read_map(hostile, "hostile")
    text = blank_form(sheet)
    assert not any(ord(char) < 32 and char != "\n" for char in text)
    filled = text.replace('overall = ""', 'overall = "4"')
    assert len(read_form(filled, "grades.toml", sheet).answers) == 3


SAME = [
    ("[skin]\noverall = 4", "[skin]\noverall = '4'", "[skin]\noverall = ' 4 '"),
    ("[shadow]\nfirst = 0", "[shadow]\nfirst = 'none'", "[shadow]\nfirst = '0'"),
    ("[tints]\nsides = true", "[tints]\nsides = 'yes'", "[tints]\nsides = 'Yes'", "[tints]\nsides = 'y'"),
    ("[tints]\nsides = false", "[tints]\nsides = 'N'"),
    (
        "[tints]\nstripes = 'blue, brown'",
        "[tints]\nstripes = 'blue & brown'",
        "[tints]\nstripes = 'Blue and brown'",
    ),
    ("[picture]\nbalance = 'none'", "[picture]\nbalance = 0", "[picture]\nbalance = '0'"),
    ("[picture]\nbalance = 'yellow, just'", "[picture]\nbalance = 21", "[picture]\nbalance = '2 1'"),
    ("[ring]\npick_dark = [61, 46]", "[ring]\npick_dark = '61, 46'", "[ring]\npick_dark = '61 and 46'"),
    ("[ring]\npick_dark = [61, 46]", "[ring]\npick_dark = '61/46'", "[ring]\npick_dark = '61 46'"),
    ("[ring]\npick_dark = 'outside: blue'", "[ring]\npick_dark = 'outside 5'"),
    ("[ring]\npick_dark = 'none'", "[ring]\npick_dark = 0", "[ring]\npick_dark = '0'"),
    (
        "[saturation]\nclip = { blue = 7, rose = true }",
        "[saturation]\nclip = 'blue 7, rose'",
        "[saturation]\nclip = { blue = '7', rose = 'yes', red = '' }",
    ),
    ("[saturation]\nclip = 'none'", "[saturation]\nclip = 0", "[saturation]\nclip = '0'"),
    ("[skin]\nfaults = ['grey', 'too red']", "[skin]\nfaults = '5, 1'", "[skin]\nfaults = [5, 'Too red']"),
    ("[skin]\nfaults = ['grey', 'too red']", "[skin]\nfaults = '5 1'", "[skin]\nfaults = 'grey + too red'"),
    ("[skin]\nfaults = 'none'", "[skin]\nfaults = 0", "[skin]\nfaults = '0'"),
    # As hands write: a sign after a grade, two digits for two faults, several for one, “no.” before a number
    ("[skin]\noverall = 4", "[skin]\noverall = '4-'", "[skin]\noverall = '4 +'", "[skin]\noverall = 'no. 4'"),
    ("[skin]\nfaults = '1, 3'", "[skin]\nfaults = 13", "[skin]\nfaults = '13'"),
    ("[tints]\nfaults = 7", "[tints]\nfaults = 'head strikes'", "[tints]\nfaults = 'No. 7'"),
    (
        "[tints]\nfaults = [7, 8]",
        "[tints]\nfaults = 'Head-strike, wheel mark'",
        "[tints]\nfaults = '#7 & #8'",
    ),
    (
        "[shadow]\nfirst = 7",
        "[shadow]\nfirst = 'no. 7'",
        "[shadow]\nfirst = 'Nr 7'",
        "[shadow]\nfirst = '№7'",
    ),
    ("[ring]\npick_dark = [61, 46]", "[ring]\npick_dark = 'no. 61 and no. 46'"),
    (
        "[saturation]\nclip = 'blue 7'",
        "[saturation]\nclip = 'blue no. 7'",
        "[saturation]\nclip = 'blue from step #7'",
    ),
    ("[skin]\noverall = 4", "[skin]\noverall = 4\n[tints]\nmottle = '-'\nsides = '–'"),  # crossed out
]


@pytest.mark.parametrize("ways", SAME, ids=lambda ways: ways[0].split("\n")[1])
def test_words_numbers_and_the_codes_of_the_paper_form_are_one_answer(ways: tuple[str, ...]) -> None:
    assert len({str(read_form(text, "grades.toml", COLOUR)) for text in ways}) == 1


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[skin]\noverall = '3.5'", "a whole grade, 5 to 1: the nearer of the two"),
        ("[skin]\noverall = '3,5'", "a whole grade, 5 to 1"),
        ("[skin]\noverall = 3.5", "a whole grade, 5 to 1"),
        ("[skin]\noverall = '4-5'", "a whole grade, 5 to 1"),
        ("[skin]\noverall = '3½'", "a whole grade, 5 to 1"),
        ("[skin]\noverall = 13", "a grade from 5 to 1"),
        ("[skin]\nfaults = '-'", "none, or which; blank where you did not look for faults"),
        ("[shadow]\nfirst = '-'", "0 for none; blank where it was not judged"),
        ("[picture]\nbalance = '—'", "blank where it was not judged"),
        ("[skin]\nfaults = 19", "faults of Skin"),  # no ninth
        ("[skin]\nfaults = 11", "faults of Skin"),
        ("[saturation]\nclip = 'blue7'", "which and from which step"),
    ],
)
def test_what_may_mean_two_things_is_asked_for_in_words_to_write(text: str, told: str) -> None:
    with pytest.raises(SheetProblem) as caught:
        read_form(text, "grades.toml", COLOUR)
    assert told in str(caught.value)


def test_the_codes_that_the_paper_form_explains_are_taken() -> None:
    """Read off the form itself: every cast and strength, and every fault by its number."""
    import pypdf

    from evaluation.sheet.form import form_pdf

    pages = pypdf.PdfReader(io.BytesIO(form_pdf(COLOUR))).pages
    words = " ".join(" ".join(page.extract_text() for page in pages).split())
    casts, strengths = re.search(r"Casts: (.*?); then (.*?): 21 is yellow, just", words).groups()  # type: ignore[union-attr]
    for digit, word in re.findall(r"([1-6]) (\w+)", casts):
        for code, strength in re.findall(r"([1-3]) (\w+)", strengths):
            form = read_form(f"[picture]\nbalance = '{digit}{code}'", "grades.toml", COLOUR)
            assert form.answers["picture", "balance"] == Cast((("whole", word, strength),))
    listed = re.findall(r"Which do you see\? 0 none, (1 too red.*?8 graininess)", words)[0]
    assert words.index(listed) < words.index("5. Would all these people"), "as typed: faults, then the grade"
    for number, start in re.findall(r"(\d) ([a-z]+)", listed):
        ((_, name, _),) = read_form(f"[skin]\nfaults = {number}", "grades.toml", COLOUR).faults
        assert name.startswith(start), "a word may be broken at the end of a line"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[neutral]\ncast = { dark = 'yellow, just' }", "neutral.cast.middle: missing; write none where"),
        ("[neutral]\ncast = 'yellow, just'", "for each of dark, middle, light, found “yellow, just”"),
        ("[picture]\nbalance = 24", "clear or strong (yellow, just), found 24"),
        ("[saturation]\nclip = 'mauve 3'", "expected none, or which and from which step (blue 7, rose)"),
        ("[saturation]\nclip = 'blue 7, blue 8'", "saturation.clip"),
        ("[skin]\nfaults = 9", "6 blotchy, 7 contour and 8 graininess), found “9”"),
        ("[skin]\nfaults = ['none', 'grey']", "skin.faults[0]"),
        ("[skin]\nfaults = [{ name = 'grey', wehre = 'left' }]", "skin.faults[0].wehre: unknown key"),
        ("[skin]\nfaults = [{ name = 'grey', where = 3 }]", "skin.faults[0].where: expected text, found 3"),
        ("[skin]\nfaults = 1979-05-27T07:32:00Z", "skin.faults: expected none, or faults of Skin tones"),
        ("[skin]\nfaults = true", "skin.faults: expected none, or faults of Skin tones"),
        ("[skin]\nabsent = true\noverall = 4", "skin.absent: answered, and yet not on this sheet"),
    ],
)
def test_what_nobody_can_have_meant_is_asked_for_again(text: str, told: str) -> None:
    with pytest.raises(SheetProblem) as caught:
        read_form(text, "grades.toml", COLOUR)
    assert told in str(caught.value)


@pytest.mark.parametrize(("word", "stored"), [("short", "quick"), ("quick", "quick"), ("full", "full")])
def test_a_short_viewing_has_two_words_and_one_stored(word: str, stored: str) -> None:
    form = read_form(f"[viewing]\nkind = '{word}'\n[skin]\noverall = 4", "grades.toml", COLOUR)
    assert form.kind == stored


def test_a_look_again_alone_is_something_said() -> None:
    assert read_form("[skin]\nagain = true", "grades.toml", COLOUR).again == ("skin",)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[skin]\noverall = 6", "skin.overall: expected a grade from 5 to 1, found 6"),
        ("[skin]\noverall = 0", "skin.overall: expected a grade from 5 to 1"),
        ("[skin]\noverall = 'four'", "skin.overall: expected a grade from 5 to 1, found “four”"),
        ("[skin]\noverall = true", "skin.overall: expected a grade from 5 to 1, found true"),
        ("[skin]\noveral = 4", "skin.overal: unknown key"),
        ("[skn]\noverall = 4", "skn: unknown key (known here: neutral, saturation, skin, viewing)"),
        ("[skin]\nfaults = ['spots']", "skin.faults[0]: expected none, or faults of Skin tones"),
        ("[neutral]\ncast = { dark = 'purple, just' }", "neutral.cast"),
        ("[neutral]\ncast = { dark = 'yellow' }", "neutral.cast"),
        ("[neutral]\ncast = { night = 'none' }", "neutral.cast"),
        ("[viewing]\nkind = 'slow'", "viewing.kind: expected one of “short”, “full”"),
        ("", "no answer found"),
        ("[skin\noverall = 4", "Expected: TOML"),
    ],
)
def test_a_mistake_is_named_by_its_key_path(text: str, told: str) -> None:
    sentence = refused(text)
    assert sentence.startswith(("grades.toml: ", "grades.toml, line 1")) and told in sentence
    assert "No grade was recorded." in sentence
