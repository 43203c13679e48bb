"""One example by hand for every metric: few patches, and the arithmetic beside the number. Invented values.

Distances that are no plain arithmetic are CIEDE2000 of pairs that coloraide was asked for as well.
"""

from collections.abc import Callable
from dataclasses import replace
from math import hypot, radians, sin, sqrt

import numpy as np
import pytest
from coloraide import Color

from evaluation.metrics.catalogue import CATALOGUE, worked_out
from evaluation.metrics.evidence import Evidence
from evaluation.sheet.layout import Patch

Wedge = Callable[..., Evidence]
Example = Callable[[Wedge], tuple[Evidence, float]]
EXAMPLES: dict[str, Example] = {}


def example(name: str) -> Callable[[Example], Example]:
    def kept(made: Example) -> Example:
        EXAMPLES[name] = made
        return made

    return kept


def de00(one: list[float], other: list[float]) -> float:
    """CIEDE2000 by coloraide, which would otherwise go to D65 first."""
    return float(Color("lab", one).delta_e(Color("lab", other), method="2000", space="lab"))


def polar(L: float, C: float, h: float) -> list[float]:
    return [L, C * np.cos(radians(h)), C * np.sin(radians(h))]


def series(name: str, count: int) -> tuple[Patch, ...]:
    return tuple(Patch(f"{name}{k}", f"{name} {k}", "r", series=name, step=k) for k in range(1, count + 1))


GREYS = [20.0, 30.0, 50.0, 70.0, 90.0]  # two dark, one in the middle, two light, black 0 to paper 100


@example("cast_by_third")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """b* 1 in the dark, 2 in the middle, 0 in the light: the middle third is the worst, by its one step."""
    read = np.column_stack([GREYS, np.zeros(5), [1.0, 1, 2, 0, 0]])
    return wedge(GREYS, measured=read), de00([50, 0, 0], [50, 0, 2])


@example("dch_mean")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Lengths 5, 0, 1, 0, 0 in the a*b* plane, mean 6 / 5."""
    read = np.column_stack([GREYS, [3.0, 0, 0, 0, 0], [4.0, 0, -1, 0, 0]])
    return wedge(GREYS, measured=read), 1.2


@example("crossover")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Dark (1, 0), light (-2, 0): 3 apart. The middle lies between."""
    read = np.column_stack([GREYS, [1.0, 1, 0, -2, -2], np.zeros(5)])
    return wedge(GREYS, measured=read), 3.0


@example("shadow_cast")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Source L* 10 and 20 count, 1.5 along a* in one of them; 30 lies above the shadows."""
    read = np.array([[10.0, 1.5, 0], [20, 0, 0], [30, 9, 9]])
    return wedge([10.0, 20, 30], measured=read), de00([10, 0, 0], [10, 1.5, 0]) / 2


@example("highlight_entry_cast")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """The three lightest of four: b* 1, 2, 0."""
    lightness = [80.0, 90, 95, 98]
    read = np.column_stack([lightness, np.zeros(4), [9.0, 1, 2, 0]])
    expected = (de00([90, 0, 0], [90, 0, 1]) + de00([95, 0, 0], [95, 0, 2])) / 3
    return wedge(lightness, measured=read), expected


@example("ring_offset")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """The centre was aimed at 0, 0 and printed at b* 2; its neighbour, aimed at 3, 0, does not count."""
    patches = (Patch("R1", "11", "ring", series="middle", step=1), Patch("R2", "12", "ring", series="middle"))
    aim = np.array([[50.0, 0, 0], [50, 3, 0]])
    read = np.array([[50.0, 0, 2], [50, 8, 0]])
    return wedge([50.0, 50], aim=aim, measured=read, patches=patches), de00([50, 0, 0], [50, 0, 2])


@example("light_shift_differential")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Under A the steps shift by (1, 0), (1, 0) and (-2, 4): the farthest two are 3, 4, 5 apart."""
    shifts = {"A": np.array([[1.0, 0], [1, 0], [-2, 4]]), "LED-B3": np.zeros((3, 2))}
    return replace(wedge([30.0, 50, 70]), shifts=shifts), 5.0


@example("evenness")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Steps of 10 printed as 12, 8, 10: ratios 1.2, 0.8, 1, their sample deviation sqrt(0.08 / 2)."""
    return wedge([20.0, 30, 40, 50], measured=[20.0, 32, 40, 50]), sqrt(0.08 / 2)


@example("tone_shift")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """1 darker, 2 lighter, as aimed: mean of the sizes, 1."""
    return wedge([20.0, 50, 80], measured=[19.0, 52, 80]), 1.0


@example("tone_mid_shift")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """The step nearest to 50 is 45, printed 3 too dark."""
    return wedge([20.0, 45, 80], measured=[10.0, 42, 80]), 3.0


@example("shadow_kept_share")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Steps of 4 printed as 4, 2, 1, 3, 4: the least three neighbours are 2, 1 and 3, half of the aim."""
    return wedge([4.0, 8, 12, 16, 20, 24], measured=[4.0, 8, 10, 11, 14, 18]), 6 / 12


@example("first_shadow_step")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Below L* 8 luminance is L* / 903.3. Black 4, steps 4.1, 4.3, 6: with 0.5 % of flare over the black's
    0.443 % the contrasts are 0.012, 0.035 and 0.235. 0.03 parts: the second step, source L* 4."""
    return wedge([2.0, 4, 6], measured=[4.1, 4.3, 6.0], black=4.0), 4.0


@example("last_highlight_step")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Contrast to the paper (100 - Y) / Y: L* 99.9 is 0.26 %, 99 is 2.6 %. 0.5 % parts: source L* 97.5."""
    return wedge([95.0, 97.5, 99], measured=[97.0, 99.0, 99.9]), 2.5


@example("gradient_jump")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Forty patches a unit of L* apart; from the twentieth on all are 3 lighter: an edge of three steps."""
    aim = np.linspace(20, 59, 40)
    return wedge(aim, measured=aim + 3.0 * (np.arange(40) >= 20), patches=series("grey", 40)), 3.0


@example("gradient_hue_drift")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """One patch of a strong yellow is printed as its neighbour was aimed, 5 degrees of CIELAB away."""
    aim = np.array([polar(70, 40, h) for h in (85.0, 90, 95, 100)])
    read = aim.copy()
    read[1] = aim[2]
    return wedge(aim[:, 0], aim=aim, measured=read, patches=series("sky", 4)), ipt_turn(aim[1], aim[2])


@example("hue_turn")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Three patches, all printed 5 degrees of CIELAB further: the 90th percentile of three lies 0.8 of the
    way from the second largest turn to the largest."""
    aim = np.array([polar(60, C, 90.0) for C in (20.0, 40, 60)])
    read = np.array([polar(60, C, 95.0) for C in (20.0, 40, 60)])
    _, second, largest = sorted(ipt_turn(one, other) for one, other in zip(aim, read, strict=True))
    return wedge(aim[:, 0], aim=aim, measured=read, patches=series("yellow", 3)), second + 0.8 * (
        largest - second
    )


@example("colour_strength")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """C* 60 printed as 48 at L* 50: -12 / (1 + 0.045 * 54) = -3.499; L* 50 printed as 44: the term of
    lightness -6 / (1 + 0.015 * 9 / sqrt(29)) = -5.853; one as aimed. COMPUTED from CIEDE2000; of three, the
    90th percentile lies 0.8 of the way from the second to the largest. Gamut known, all inside.
    """
    aim = np.array([polar(50, 60.0, 30.0)] * 3)
    read = np.array([polar(50, 48, 30.0), polar(44, 60.0, 30.0), aim[2]])
    evidence = wedge(aim[:, 0], aim=aim, measured=read, patches=series("red", 3), inside=np.ones(3, bool))
    return evidence, 3.499 + 0.8 * (5.853 - 3.499)


@example("collapse_step")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Four neighbours 10 apart, of which the last two are printed 2 and 1 apart: half of the ramp is lost."""
    aim = np.array([polar(60, C, 30.0) for C in (0.0, 10, 20, 30, 40)])
    read = np.array([polar(60, C, 30.0) for C in (0.0, 10, 20, 22, 23)])
    return wedge(aim[:, 0], aim=aim, measured=read, patches=series("red", 5)), 0.5


SKINS = (
    Patch("K1", "K1", "skin", series="light 1", step=1),
    Patch("K2", "K2", "skin", series="light 1", step=2),
    Patch("K3", "K3", "skin", series="light 1", step=3),
    Patch("K4", "K4", "skin", series="deep 1", step=1),
)
SKIN_AIM = np.array([polar(70, 20, 50), polar(65, 20, 50), polar(60, 20, 50), polar(35, 20, 50)])


@example("skin_hue")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """The deep one turned by 6 degrees, one of three light ones by 3: dH* = 2 * 20 * sin(6 / 2 degrees)."""
    read = np.array([polar(70, 20, 53), *SKIN_AIM[1:3], polar(35, 20, 56)])
    return wedge(SKIN_AIM[:, 0], aim=SKIN_AIM, measured=read, patches=SKINS), 2 * 20 * sin(radians(3))


@example("skin_chroma")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Light: 3 stronger, 3 paler, as aimed, on average 2. Deep: 1 stronger."""
    read = np.array([polar(70, 23, 50), polar(65, 17, 50), SKIN_AIM[2], polar(35, 21, 50)])
    return wedge(SKIN_AIM[:, 0], aim=SKIN_AIM, measured=read, patches=SKINS), 2.0


@example("skin_hue_constancy")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Along the sphere of three dH* runs from -2 * 20 * sin(1) to 2 * 20 * sin(2), degrees halved."""
    read = np.array([polar(70, 20, 48), SKIN_AIM[1], polar(60, 20, 54), SKIN_AIM[3]])
    expected = 40 * (sin(radians(2)) + sin(radians(1)))
    return wedge(SKIN_AIM[:, 0], aim=SKIN_AIM, measured=read, patches=SKINS), expected


@example("skin_dE00")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """One of four is 2 lighter."""
    read = SKIN_AIM.copy()
    read[0, 0] += 2
    expected = de00(list(SKIN_AIM[0]), list(read[0])) / 4
    return wedge(SKIN_AIM[:, 0], aim=SKIN_AIM, measured=read, patches=SKINS), expected


@example("skin_light_excess")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """A print that stands still lacks what the light skin of the chart moves under A, as a vector."""
    from evaluation.colorimetry.illuminants import illuminants
    from evaluation.colorimetry.inconstancy import chart_skin_shift

    _, da, db = chart_skin_shift(illuminants()["A"])["light skin"]
    evidence = wedge(SKIN_AIM[:3, 0], aim=SKIN_AIM[:3], patches=SKINS[:3])
    return replace(evidence, shifts={"A": np.zeros((3, 2))}), hypot(da, db)


@example("across_sheet")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """Equal greys read at 50 and 52 lie one from their mean of 51; the 95th percentile of two distances lies
    0.95 of the way up."""
    patches = tuple(Patch(f"T{k}", f"T{k}", "tints", source=(0.5, 0.5, 0.5)) for k in (1, 2))
    read = np.array([[50.0, 0, 0], [52, 0, 0]])
    low, high = sorted([de00([51, 0, 0], [50, 0, 0]), de00([51, 0, 0], [52, 0, 0])])
    return wedge([50.0, 50], aim=read, patches=patches), low + 0.95 * (high - low)


@example("print_mean")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """One of two is 3 lighter than the profile expects."""
    expected = np.array([[40.0, 10, 0], [60, 0, 10]])
    read = expected + np.array([[3.0, 0, 0], [0, 0, 0]])
    evidence = wedge([40.0, 60], aim=expected, measured=read)
    return replace(evidence, predicted=expected), de00([40, 10, 0], [43, 10, 0]) / 2


@example("print_p95")
def _(wedge: Wedge) -> tuple[Evidence, float]:
    """As for the mean: 0.95 of the way from 0 to the one that is off."""
    expected = np.array([[40.0, 10, 0], [60, 0, 10]])
    read = expected + np.array([[3.0, 0, 0], [0, 0, 0]])
    evidence = wedge([40.0, 60], aim=expected, measured=read)
    return replace(evidence, predicted=expected), 0.95 * de00([40, 10, 0], [43, 10, 0])


def ipt_turn(one: np.ndarray, other: np.ndarray) -> float:
    """Degrees between two hues in IPT, by coloraide."""
    from coloraide.spaces.ipt import IPT

    class Space(Color): ...

    Space.register(IPT())
    hues = []
    for lab in (one, other):
        _, p, t = Space("lab", list(lab)).convert("ipt").coords()
        hues.append(float(np.degrees(np.arctan2(t, p))))
    return abs((hues[0] - hues[1] + 180) % 360 - 180)


def test_no_metric_is_without_an_example() -> None:
    assert EXAMPLES.keys() == CATALOGUE.keys()


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_an_example_by_hand(name: str, wedge: Wedge) -> None:
    evidence, expected = EXAMPLES[name](wedge)
    worked = worked_out(name, evidence)
    assert worked is not None
    assert worked.metric.value == pytest.approx(expected, rel=2e-4)
    assert worked.metric.unit == CATALOGUE[name].unit and expected > 0
