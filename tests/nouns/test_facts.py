"""Facts for readers: typed, refused in a sentence, worked out with their errors."""

import re

import pytest

from evaluation.errors import UsageProblem
from evaluation.facts import worked
from evaluation.facts.kinds import BY_ID, KINDS
from evaluation.facts.typed import shown, typed
from evaluation.telling.facts import fact


def ink(step: float, area: float, each: float = 10.0) -> dict[str, float]:
    return {"inks": 10.0, "step": step, "used": each * area, "area": area}


@pytest.mark.parametrize(("step", "share"), [(2.0, 0.13), (7.0, 0.45)])
def test_ten_counters_of_ink_err_by_their_steps(step: float, share: float) -> None:
    """A reading rounded to a step errs by step / sqrt(12) (any handbook of measurement; GUM, JCGM 100:2008,
    F.2.2.1), a difference of two by step x sqrt(2/12), ten inks by sqrt(10) of that: 2 m2 at 10 ml/m2 give
    13 % with steps of 2 ml and 45 % with steps of 7 ml."""
    found = worked.ink(ink(step, 2.0))
    assert found.error is not None and found.error / found.value == pytest.approx(share, abs=0.005)
    assert found.as_range
    assert worked.area_for(ink(2.0, 2.0), 0.05) == pytest.approx(5.2, abs=0.05)
    assert not worked.ink(ink(2.0, 5.2)).as_range


def test_ink_above_ten_percent_is_a_range_that_says_how_much_more_to_print() -> None:
    told = fact("ink", ink(2.0, 2.0) | {"cleaning": 6.0}, 4)
    assert told.shown == "8.7 to 11.3 ml/m2"
    assert "one error is 13 %; 2.6 m2 would bring it to 10 %" in told.method
    assert "Cleaning apart: 6 ml." in told.method and "cleaning left out" in told.method
    assert fact("ink", ink(2.0, 5.2), 4).shown == "10.0 ± 0.5 ml/m2"


def test_the_other_facts_are_what_their_rulers_say() -> None:
    """Elementary arithmetic of what was typed."""
    minutes = typed(BY_ID["time"], "12.5, 13.9 12.6 min")["minutes"]
    assert worked.time(minutes).value == 12.6 and worked.time(minutes[:2]).error is None
    assert "three make a median" in fact("time", {"minutes": minutes[:2]}, 1).shown
    cost = typed(BY_ID["cost"], BY_ID["cost"].example)
    paper = 120 / 7.4 * 0.156 / 0.125
    assert worked.cost(cost, None).value == pytest.approx(paper)
    with_ink = worked.cost(cost, worked.ink(ink(2.0, 2.0)))
    assert with_ink.value == pytest.approx(paper + 95 / 220 * 10)
    assert with_ink.error == pytest.approx(95 / 220 * 1.291, abs=0.001)
    assert "Paper alone" in fact("cost", cost, 1).method
    curl = typed(BY_ID["curl"], "corners 4 6 -9 5 mm, after 24 h, humidity 48 %")
    assert fact("curl", curl, 1).shown == "-9 mm at most, after 24 h at 48 % RH"
    noise = fact("noise", {"printing": 57.4, "quiet": 38.0}, 1)
    assert noise.shown == "19 dB above the quiet room" and "No sound level" in noise.tells_not
    assert worked.waste({"cut off": 310.0, "width": 610.0, "loads": 1.0}).value == pytest.approx(
        0.189, abs=5e-4
    )


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.id)
def test_every_fact_is_read_back_as_it_is_shown_and_says_what_it_leaves_open(kind) -> None:
    values = typed(kind, kind.example)
    assert typed(kind, shown(kind, values)) == values
    assert kind.method.endswith(".") and kind.tells_not.endswith(".")


@pytest.mark.parametrize(
    ("kind", "text", "told"),
    [
        ("ink", "inks ten", "number for inks.*ten"),
        ("ink", "inks 10, step 2", "also used and area"),
        ("ink", "inks 10, inks 10", "name once"),
        ("ink", "inks 40, step 2, used 3, area 1", "inks from 1 to 24"),
        ("ink", "colours 10", "Names are inks, step, used"),
        ("curl", "corners 4 6 3, after 24, humidity 50", "4 for corners.*3"),
        ("noise", "printing 30 dB, quiet 38 dB", "quieter"),
        ("cost", BY_ID["cost"].example.replace("taken 0.156", "taken 0.1"), "no more printed"),
        (
            "cost",
            "paper price 1, paper area 1, taken 1, printed 1, ink price 3, currency EUR, dated now",
            "together",
        ),
        ("time", "nan", "number for minutes"),
    ],
)
def test_what_cannot_be_meant_is_refused_in_a_sentence(kind: str, text: str, told: str) -> None:
    with pytest.raises(UsageProblem) as caught:
        typed(BY_ID[kind], text)
    assert re.search(told, f"{caught.value.sentence} {caught.value.remedy or ''}")
