"""The question sets that come with the program."""

import pytest

from evaluation.published.passport import load_toml
from evaluation.sheet.questions import QuestionSet, fault_words, question_sets

SETS = question_sets()
COLOUR = (
    "neutral",
    "ring",
    "shadow",
    "highlight",
    "skin",
    "saturation",
    "gradient",
    "detail",
    "structure",
    "gloss",
    "tints",
    "scenes",
    "picture",
)
MONO = ("mono_neutral", "mono_tone", "mono_shadow", "mono_highlight", "mono_scenes")

each_set = pytest.mark.parametrize("about", SETS.values(), ids=SETS.keys())


def test_all_kinds_are_there_in_the_order_of_the_sheet() -> None:
    assert tuple(SETS) == COLOUR + MONO


@each_set
def test_the_last_question_is_the_region_as_a_whole(about: QuestionSet) -> None:
    assert [question.whole_region for question in about.questions].count(True) == 1
    assert about.questions[-1].whole_region


@each_set
def test_every_graded_question_says_what_five_three_and_one_look_like(about: QuestionSet) -> None:
    for question in about.questions:
        if question.answer == "grade":
            assert tuple(grade for grade, _ in question.grades) == (5, 3, 1), question.id


@each_set
def test_every_question_can_be_read_in_a_terminal(about: QuestionSet) -> None:
    """Short enough for the question's place at 80 columns: project's own choice."""
    for question in about.questions:
        assert len(question.ask) <= 90
        assert len(question.look) <= 200
        assert all(len(words) <= 44 for _, words in question.grades)
        assert question.distance


@each_set
def test_every_pair_names_a_metric_of_its_region(about: QuestionSet) -> None:
    for question in about.questions:
        assert question.pairs_with in ("", *about.metrics)


@each_set
def test_casts_are_answered_part_by_part(about: QuestionSet) -> None:
    thirds, groups = ("dark", "middle", "light"), ("light", "medium", "deep")
    expected = {"skin": groups, "picture": ("whole",), "gloss": ("whole",)}.get(about.kind, thirds)
    for question in about.questions:
        if question.answer == "cast":
            assert question.parts == expected


def test_every_fault_is_explained_and_every_explanation_used() -> None:
    assert {name for about in SETS.values() for name in about.faults} == set(fault_words())


def test_the_mono_sets_name_what_they_replace() -> None:
    assert {SETS[kind].replaces for kind in MONO} == {"neutral", "gradient", "shadow", "highlight", "scenes"}


def test_the_metrics_of_a_set_are_those_with_an_anchor_for_its_kind() -> None:
    """Two rooms name the same pairs of region and metric: neither may know one that the other does not."""
    anchors = load_toml("evaluation.judgement", "tables/anchors.toml")[1]["anchor"]
    named = {(kind, row["metric"]) for row in anchors for kind in row["regions"]}
    assert {(kind, metric) for kind, about in SETS.items() for metric in about.metrics} == named
