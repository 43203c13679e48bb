"""Maps of one's own: what is understood, and how each mistake is named by its key path."""

import hashlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.errors import DrydownError, SheetProblem, UsageProblem
from evaluation.sheet.load import map_text, read_map

HERE = Path(__file__).parent

MAP = """
format = 1
title = "Two greys"
encoding = "srgb"
source_scale = 255
size_mm = [100, 200]
paper = "W"
black = "K"

[[region]]
id = "neutral"
number = 1
area = [0.0, 0.0, 1.0, 0.5]

[[patch]]
id = "W"
region = "neutral"
source = [255, 255, 255]
area = [0.0, 0.0, 0.5, 0.5]

[[patch]]
id = "K"
region = "neutral"
source = [0, 0, 0]
area = [0.5, 0.0, 0.5, 0.5]
series = "wedge"
step = 1
"""


def mistakes(text: str) -> str:
    with pytest.raises(SheetProblem) as caught:
        read_map(text, "own.toml")
    assert caught.value.where.startswith("own.toml")
    return caught.value.sentence


def changed(old: str, new: str) -> str:
    assert MAP.count(old) >= 1
    return MAP.replace(old, new, 1)


def test_a_small_map_is_understood() -> None:
    sheet = read_map(MAP, "own.toml")
    assert sheet.title == "Two greys"
    assert sheet.size_mm == (100.0, 200.0)
    assert sheet.region("neutral").patch_ids == ("W", "K")
    assert sheet.patch("W").source == (1.0, 1.0, 1.0)
    assert (sheet.patch("W").role, sheet.patch("K").role) == ("paper", "black")
    assert sheet.neutral_aim == "paper"


def test_the_digest_is_of_the_text() -> None:
    assert read_map(MAP, "own.toml").digest == hashlib.sha256(MAP.encode()).hexdigest()


def test_a_region_takes_the_questions_of_its_kind() -> None:
    region = read_map(MAP, "own.toml").region("neutral")
    assert region.title == "Neutral greyscale"
    assert [question.id for question in region.questions][-1] == "overall"
    assert region.whole is not None and region.whole.answer == "grade"
    assert "evenness" in region.metrics


def test_a_region_may_ask_its_own_questions() -> None:
    asks = '[[region.question]]\nid = "overall"\nanswer = "grade"\nask = "Cloth?"'
    own = MAP.replace('id = "neutral"\nnumber = 1', f'id = "cloth"\ntitle = "Cloth"\n{asks}').replace(
        'region = "neutral"', 'region = "cloth"'
    )
    own = own.replace("area = [0.0, 0.0, 1.0, 0.5]", "")
    region = read_map(own, "own.toml").region("cloth")
    assert region.questions[0].ask == "Cloth?"
    assert region.metrics == ()


def test_syntax_is_told_with_its_line() -> None:
    assert "line 4" in mistakes(changed('encoding = "srgb"', 'encoding = srgb"'))


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("format = 1", "format = 2", "format: expected 1, found 2"),
        ("format = 1", "", "format: missing"),
        ('title = "Two greys"', "", "title: missing"),
        ('title = "Two greys"', "title = 7", "title: expected text, found 7"),
        ("size_mm = [100, 200]", "", "size_mm: missing"),
        ("size_mm = [100, 200]", "size_mm = [100]", "size_mm: expected a list of 2 numbers"),
        ('encoding = "srgb"', 'encoding = "rgb"', "encoding: expected one of “srgb”, “oprgb”"),
        ('encoding = "srgb"', "", "patch[0].source: these values define no colour"),
        ('paper = "W"', 'paper = "X"', "paper: expected the id of a patch of this map, found “X”"),
        ('black = "K"', 'black = "W"', "black: expected another patch than the paper's"),
        ("number = 1", "number = true", "region[0].number: expected a whole number, found true"),
        ("number = 1", "colour = 1", "region[0].colour: unknown key"),
        ('id = "neutral"', 'id = "neutrals"', "region[0].id: expected a kind with built-in questions"),
        ('region = "neutral"', 'region = "grey"', "patch[0].region: expected the id of a region of this map"),
        ('id = "K"', 'id = "W"', "patch[1].id: “W” is taken by patch[0].id"),
        ("source = [0, 0, 0]", "source = [0, 300, 0]", "patch[1].source[1]: expected a number from 0 to 255"),
        ("source = [0, 0, 0]", "source = [0, nan, 0]", "patch[1].source[1]: expected a number from 0 to 255"),
        ("source = [0, 0, 0]", 'source = [0, "0", 0]', "patch[1].source[1]: expected a number"),
        ("source = [0, 0, 0]", "", "patch[1].source: missing, and so is `aim_lab`"),
        ("source = [0, 0, 0]", "aim_lab = [120, 0, 0]", "patch[1].aim_lab[0]: expected an L* from 0 to 110"),
        ("area = [0.5, 0.0, 0.5, 0.5]", "area = [0.6, 0.0, 0.5, 0.5]", "patch[1].area: expected left, top"),
        ("area = [0.5, 0.0, 0.5, 0.5]", "area = [0.4, 0.0, 0.5, 0.5]", "patch[1].area: overlaps"),
        ("area = [0.5, 0.0, 0.5, 0.5]", "area = [0.4, 0.0, 0, 0.5]", "patch[1].area: expected left, top"),
        ("step = 1", "step = 0", "patch[1].step: expected a number from 1"),
        ("number = 1", 'metrics = ["mean colour"]', "region[0].metrics[0]: expected the name of a metric"),
        ("number = 1", 'kind = "skins"', "region[0].kind: expected a kind with built-in questions"),
    ],
)  # fmt: skip
def test_each_mistake_is_named_by_its_key_path(old: str, new: str, told: str) -> None:
    assert told in mistakes(changed(old, new))


@pytest.mark.parametrize(
    ("question", "told"),
    [
        ('id = "overall"\nanswer = "stars"\nask = "?"', "question[0].answer: expected one of “grade”"),
        (
            'id = "overall"\nanswer = "count"\nask = "?"',
            "question[0].answer: expected “grade” for the question",
        ),
        ('id = "tint"\nanswer = "grade"\nask = "?"', "question: the last question must be “overall”"),
        ('id = "tint"\nanswer = "cast"\nask = "?"', "question[0].parts: missing"),
        ('id = "overall"\nanswer = "grade"', "question[0].ask: missing"),
        (
            'id = "overall"\nanswer = "grade"\nask = "?"\ndistance = "far"',
            "question[0].distance: expected one of",
        ),
    ],
)
def test_each_mistake_of_a_question_is_named(question: str, told: str) -> None:
    assert f"region[0].{told}" in mistakes(changed("number = 1", f"[[region.question]]\n{question}\n"))


def test_several_mistakes_are_told_at_once() -> None:
    text = changed("number = 1", "number = 0").replace("[0, 0, 0]", "[0, 0, 256]")
    told = mistakes(text)
    assert "region[0].number" in told
    assert "patch[1].source[2]" in told


def test_two_regions_with_one_number() -> None:
    text = MAP + '\n[[region]]\nid = "shadow"\nnumber = 1\narea = [0.0, 0.5, 1.0, 0.5]\n'
    assert "region[1].number: 1 is taken by region[0].number" in mistakes(text)


def test_hostile_text_is_shown_and_not_obeyed() -> None:
    told = mistakes(changed('title = "Two greys"', 'title = "a"\n"\\u001b[31m" = 1'))
    assert "\x1b" not in told


def test_an_unknown_built_in_map_is_named() -> None:
    with pytest.raises(UsageProblem, match="There is no such map"):
        map_text("colour-5")


def test_the_24_patch_chart_is_a_map_like_any_other() -> None:
    sheet = read_map((HERE / "data" / "chart-24.toml").read_text(encoding="utf-8"), "chart-24.toml")
    assert sheet.encoding is None
    assert (sheet.paper_patch, sheet.black_patch) == ("19", "24")
    assert [len(region.patch_ids) for region in sheet.regions] == [6, 2, 12]
    assert sheet.region("saturation").metrics == ("hue_turn", "over_saturation")
    assert {sheet.patch(patch).group for patch in sheet.region("skin").patch_ids} == {"light", "deep"}


@given(st.binary(max_size=400))
def test_any_bytes_give_a_sheet_or_one_sentence(noise: bytes) -> None:
    try:
        read_map(noise.decode("utf-8", "replace"), "noise.toml")
    except DrydownError as problem:
        assert "\n" not in problem.sentence


@given(st.data())
def test_a_map_with_any_value_replaced_gives_a_sheet_or_one_sentence(data: st.DataObject) -> None:
    lines = MAP.splitlines()
    keyed = [index for index, line in enumerate(lines) if " = " in line]
    at = data.draw(st.sampled_from(keyed))
    values = ["{}", "[]", "[[]]", "-1", "1e400", "nan", "true", '""', "1979-05-27", '["a"]']
    value = data.draw(st.sampled_from(values))
    lines[at] = lines[at].split(" = ")[0] + " = " + value
    try:
        read_map("\n".join(lines), "own.toml")
    except DrydownError as problem:
        assert "\n" not in problem.sentence
