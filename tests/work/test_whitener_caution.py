"""The caution about whitener: worded only where profile, paper and light are all known to bring it about.

The demo's session 1 is a whitened lustre, b* 4.1 higher without ultraviolet. Its chart is made here.
"""

from pathlib import Path

import pytest

from evaluation.readings.supplied import Supplied
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.look import look
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from tests.cases import some_now
from tests.work.test_expected import chart

BEFORE = "2026-02-27T09:00:00+00:00"  # the demo's profile was made on 2 March


@pytest.fixture
def profiled(bench: Bench, tmp_path: Path) -> Bench:
    """With the readings its profile was made from, M1."""
    said = Supplied(printed_as="unmanaged", rgb_scale=255)
    path = chart(tmp_path / "chart.txt", BEFORE)
    read.take_in(bench, 1, read.preview(bench, 1, path, said))
    return bench


def hung(bench: Bench, second: str, settings: str | None = None) -> str:
    begin.say_readiness(bench, 1, "viewing_light", "done", {"lux": 2000.0, "second": second})
    told = weigh.weigh(Bench(bench.archive, settings, bench.now), 1).caveats
    return next((caveat for caveat in told if "yellower" in caveat), "")


@pytest.mark.long
@pytest.mark.parametrize("second", some_now(["LED-B3", "led b3", "A", "behind museum glass"], "led b3"))
def test_all_three_together_are_worth_a_caution(profiled: Bench, second: str) -> None:
    told = hung(profiled, second)
    assert told.startswith("Expect the whole print yellower by about 4.")
    assert f"b* under {second}: the profile was made from M1" in told


@pytest.mark.parametrize("second", some_now(["D50", "D65", "the window", ""], "the window"))
def test_a_light_with_ultraviolet_or_an_unknown_one_is_none(profiled: Bench, second: str) -> None:
    assert hung(profiled, second) == ""


def test_without_the_readings_of_the_profile_nothing_is_claimed(bench: Bench) -> None:
    assert hung(bench, "LED-B3") == ""


def test_how_much_whitener_is_worth_it_is_a_setting(profiled: Bench) -> None:
    assert hung(profiled, "LED-B3", "[thresholds]\nwhitener_caution = 5\n") == ""


def test_the_paper_waits_for_its_grade(profiled: Bench) -> None:
    look.start(profiled, 1, observer="a guest")
    assert hung(profiled, "LED-B3") == ""
