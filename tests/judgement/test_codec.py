"""Results as text and back: nothing is lost, nothing that does not fit is taken for a result."""

import dataclasses
import json
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.judgement import codec
from evaluation.judgement.opinion import Finding, Inputs, Named, Opinion, Verdict, Weighing
from evaluation.judgement.two_prints import Difference
from evaluation.metrics.evidence import Metric
from evaluation.metrics.stages import PaperChange, Stage
from evaluation.profile.fit import Fit, FitOf

numbers = st.floats(allow_nan=False)
opinions = st.builds(Opinion, numbers, numbers, st.integers(0, 9), st.text())
metrics = st.builds(
    Metric,
    st.text(),
    numbers,
    st.text(),
    st.none() | numbers,
    st.none() | st.text(),
    st.integers(0, 999),
    st.sampled_from(("media-relative", "absolute")),
)
steps = st.builds(
    Stage,
    st.sampled_from(("intent and gamut", "print", "whole")),
    st.tuples(numbers, numbers, numbers),
    st.none() | numbers,
    st.integers(0, 9),
    st.integers(0, 9),
)
findings = st.builds(
    Finding,
    st.text(),
    st.text(),
    st.text(),
    st.none() | opinions,
    st.none() | opinions,
    st.sampled_from(("agree", "disagree", "none")),
    st.none() | opinions,
    st.text(),
    metrics=st.lists(metrics, max_size=2).map(tuple),
    faults=st.lists(st.text(), max_size=2).map(tuple),
    steps=st.lists(steps, max_size=2).map(tuple),
)
named = st.builds(Named, st.integers(1, 9), st.text(), st.integers(0, 9), st.booleans())
inputs = st.builds(Inputs, st.integers(1, 9), st.text(), st.text(), st.text(), named=st.tuples(named))
fits = st.builds(
    Fit,
    numbers,
    numbers,
    st.integers(),
    st.tuples(st.builds(FitOf, st.text(), numbers, numbers, st.integers())),
)
triples = st.tuples(numbers, numbers, numbers)
weighings = st.builds(
    Weighing,
    st.integers(1, 9),
    st.integers(0, 9),
    inputs,
    st.lists(findings, max_size=2).map(tuple),
    st.just({}),
    paper=st.none() | st.builds(PaperChange, triples, triples, numbers),
    fit=st.none() | fits,
    print_step=st.lists(metrics, max_size=2).map(tuple),
)


@given(weighings)
def test_a_weighing_comes_back_to_the_last_bit(weighing: Weighing) -> None:
    assert codec.decoded(Weighing, codec.encoded(weighing)) == weighing


@given(numbers)
def test_no_digit_of_a_number_is_lost(number: float) -> None:
    rows = (Difference("skin", 1, 4, number, True, "visible", "hue"),)
    assert codec.decoded(tuple[Difference, ...], codec.encoded(rows)) == rows


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_in_json_comes_back_too(number: float) -> None:
    (back,) = codec.decoded(tuple[float], codec.encoded((number,)))
    assert back == number or (math.isnan(back) and math.isnan(number))


def test_a_double_of_an_array_is_a_number_like_any_other() -> None:
    assert codec.encoded(Opinion(np.float64(0.1) + 0.2, 0.5, 1, "")) == (
        '{"grade":0.30000000000000004,"spread":0.5,"count":1,"basis":"","observers":[]}'
    )


def opinion() -> dict[str, Any]:
    return {"grade": 4.0, "spread": 0.5, "count": 1, "basis": "1 viewing"}


@pytest.mark.parametrize(
    "spoiled",
    [
        lambda: opinion() | {"more": 1},
        lambda: {name: value for name, value in opinion().items() if name != "count"},
        lambda: {**{name: value for name, value in opinion().items() if name != "count"}, "counted": 1},
        lambda: opinion() | {"grade": "4"},
        lambda: [4.0, 0.5, 1, ""],
        lambda: None,
        lambda: "4.0",
    ],
)
def test_what_does_not_fit_to_the_last_field_is_refused(spoiled: Callable[[], Any]) -> None:
    assert codec.decoded(Opinion, json.dumps(opinion())) == Opinion(4.0, 0.5, 1, "1 viewing")
    with pytest.raises(ValueError):
        codec.decoded(Opinion, json.dumps(spoiled()))


def test_what_came_with_later_rules_has_its_default_in_what_was_written_up_before() -> None:
    before = {"use": "general", "verdict": "accepted", "reasons": [], "would_decide": None, "share": 0.9}
    assert codec.decoded(Verdict, json.dumps(before)) == Verdict("general", "accepted", (), None, 0.9)
    del before["share"]
    with pytest.raises(ValueError):
        codec.decoded(Verdict, json.dumps(before))


def test_a_field_that_may_be_left_out_of_a_noun_may_not_be_left_out_of_a_result() -> None:
    kept = json.loads(codec.encoded(Inputs(1, "a", "b", "c")))
    assert codec.decoded(Inputs, json.dumps(kept)) == Inputs(1, "a", "b", "c")
    del kept["light"]
    with pytest.raises(ValueError):
        codec.decoded(Inputs, json.dumps(kept))


@pytest.mark.parametrize("text", ["", "{", '{"grade": 4.0', "[" * 100_000, "nul\x00"])
def test_text_that_is_no_result_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        codec.decoded(Opinion, text)


def test_what_is_no_result_is_not_kept() -> None:
    with pytest.raises(TypeError):
        codec.encoded({"at": object()})


def test_every_input_has_a_part_in_the_digest() -> None:
    base = Inputs(1, "a", "b", "c", "d", (Named(3, "u", 5, False),), "e")
    others = [
        dataclasses.replace(base, rules=2),
        *(dataclasses.replace(base, **{name: "z"}) for name in ("settings", "session", "sheet", "profile")),
        dataclasses.replace(base, light="z"),
        dataclasses.replace(base, named=()),
        *(
            dataclasses.replace(base, named=(dataclasses.replace(base.named[0], **change),))
            for change in ({"session": 4}, {"uid": "v"}, {"revision": 6}, {"removed": True})
        ),
    ]
    assert len({one.digest for one in (base, *others)}) == len(others) + 1
    assert len(dataclasses.fields(Inputs)) == 7 and len(dataclasses.fields(Named)) == 4
