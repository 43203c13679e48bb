"""The fold: the last live entry on a subject counts, None withdraws it, viewings are kept apart."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.entry import Entry, decoded, encoded
from evaluation.fold import folded
from evaluation.session import (
    CAST_WORDS,
    STRENGTHS,
    Cast,
    Count,
    Grade,
    Pick,
    Place,
    PrintingCondition,
    Session,
    Value,
    Viewing,
    YesNo,
)

AT = datetime(2026, 3, 2, 13, 10, tzinfo=UTC)
HEAD = Session(1, "0" * 32, "d" * 64, AT, 0, PrintingCondition())
VIEWINGS = (Viewing(7, 1, "observer 1", "full", AT, ("skin",)), Viewing(8, 2, "observer 2", "full", AT, ()))

words = st.sampled_from(CAST_WORDS)
values: st.SearchStrategy[Value] = st.one_of(
    st.builds(Grade, st.integers(1, 5)),
    st.builds(Count, st.integers(0, 99)),
    st.builds(YesNo, st.booleans()),
    st.builds(Pick, st.lists(st.integers(10, 99), max_size=2).map(tuple), st.none() | words),
    st.builds(Place, st.lists(st.tuples(st.text(max_size=5), st.none() | st.integers(1, 9))).map(tuple)),
    st.builds(
        Cast,
        st.lists(st.tuples(st.text(max_size=5), words, st.none() | st.sampled_from(STRENGTHS))).map(tuple),
    ),
)


def entry(number: int, kind: str, subject: str, value: object, viewing: int | None = None) -> Entry:
    return Entry(number, kind, subject, value, AT, number, viewing)  # type: ignore[arg-type]


@given(values)
def test_every_answer_survives_its_json_form(value: Value) -> None:
    assert decoded(encoded(value)) == value


@pytest.mark.parametrize("value", [{}, {"grade": "4"}, {"grade": 6}, {"count": -1}, {"mark": "done"}])
def test_what_is_no_answer_is_refused(value: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"."):
        decoded(value)


def test_the_last_word_counts() -> None:
    said = [entry(1, "condition", "paper", "Rag"), entry(2, "condition", "paper", "Baryta")]
    assert folded(HEAD, (), said).session.condition.paper == "Baryta"


def test_none_withdraws_what_was_said() -> None:
    said = [entry(1, "remark", "read", "cold instrument"), entry(2, "remark", "read", None)]
    assert folded(HEAD, (), said).session.remarks == {}


def test_viewings_do_not_see_each_others_answers() -> None:
    said = [
        entry(1, "answer", "skin/overall", {"grade": 4}, 7),
        entry(2, "answer", "skin/overall", {"grade": 2}, 8),
        entry(3, "fault", "skin/too red", {"where": "the sphere"}, 8),
        entry(4, "again", "skin", True, 7),
    ]
    first, second = folded(HEAD, VIEWINGS, said).session.viewings
    assert first.answers["skin", "overall"].value == Grade(4)
    assert second.answers["skin", "overall"].value == Grade(2)
    assert [fault.name for fault in second.faults] == ["too red"] and first.faults == ()
    assert first.look_again == {"skin"} and second.look_again == frozenset()


def test_a_run_counts_while_its_last_word_is_in() -> None:
    said = [
        entry(1, "readings", "3", "in"),
        entry(2, "readings", "4", "in"),
        entry(3, "readings", "3", "out"),
    ]
    assert folded(HEAD, (), said).session.runs == {4}


def test_a_printed_time_comes_back_as_a_time() -> None:
    said = [entry(1, "condition", "printed_at", AT.isoformat())]
    assert folded(HEAD, (), said).session.condition.printed_at == AT


def test_a_field_of_a_later_version_is_passed_over() -> None:
    assert (
        folded(HEAD, (), [entry(1, "condition", "scent", "fresh")]).session.condition == PrintingCondition()
    )
