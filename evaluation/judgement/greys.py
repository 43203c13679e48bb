"""The nouns of a neutrality record: steps, thirds, crossover, evenness, lights, ring-around."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from evaluation.colorimetry.flatness import Flatness
from evaluation.metrics.black import Black
from evaluation.metrics.black_level import BlackFrom
from evaluation.metrics.drying import Drying
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.light_spread import Spread
from evaluation.readings.run import Condition
from evaluation.sheet.layout import NeutralAim

Basis = Literal["cast", "neutral", "noise", "scattered"]


@dataclass(frozen=True, slots=True)
class GreyStep:
    """One grey: absolute CIELAB D50, density, its aim, how far from it. `hollow`: left out of the cast."""

    patch: str
    name: str
    source_l: float
    L: float
    a: float
    b: float
    density: float
    aim_a: float
    aim_b: float
    dch: float
    de00: float  # at equal L*
    hollow: bool


@dataclass(frozen=True, slots=True)
class Third:
    """A third of the printed range. `cast`: "none", a word, or two near a border.

    basis  why no cast is named: "neutral"; "noise" where noise of the readings would hide one; "scattered"
           where the steps lie visibly off, in no one direction. "cast" where one is named
    """

    name: str
    cast: str
    da: float
    db: float
    dch_mean: float
    dch_p95: float
    de00: float
    where: str  # the step that lies furthest off
    steps: int
    basis: Basis = "neutral"


@dataclass(frozen=True, slots=True)
class Crossover:
    """Where a cast turns. `turn` is the distance between two thirds, dCh; `near_l` the L* of the turn.

    `only`: the cast is in one of the thirds alone, the other is neutral.
    """

    turn: float
    dark: str  # word of the darker third, "none" where it is neutral
    light: str
    near_l: float
    only: bool


@dataclass(frozen=True, slots=True)
class Evenness:
    """Measured over aimed step: its standard deviation, how many of all are even, whether none falls back."""

    spread: float
    even: int
    of: int
    monotone: bool
    against: str  # "the aim" or "a straight line"


@dataclass(frozen=True, slots=True)
class UnderLight:
    """The scale under one light: largest and mean dCh between the shifts of two steps; the paper's own.

    spread  of the largest: by the choice of adaptation, and by reading again
    """

    light: str
    largest: float
    mean: float
    paper: tuple[float, float, float]  # dL*, da*, db*, the eye adapted to the perfect white
    condition: Condition | None
    stress: bool
    spread: Spread


@dataclass(frozen=True, slots=True)
class Ring:
    """The ring-around at one lightness, a* and b* off the aim: the eye's neutral, and the printed centre.

    The first is adaptation or light, the second the print. `measured` False: from nominal values.
    `light`: "" for the viewing light, else in words which other one it was picked under.
    """

    group: str
    eye: tuple[float, float] | None
    centre: tuple[float, float] | None
    measured: bool
    light: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class NeutralityRecord:
    """A print's neutrality. `lights`: those judged and those of stress; `worst_light`: one of the judged.

    scale       what it was worked out from, black to paper, with the shift of every step under each light
    paper       absolute CIELAB D50 of the bare paper
    black_from  where the aim's black came from, as `metrics.gather` names it
    instrument  as the readings state it, or None
    colourless  the mode prints the ring-around as one grey, and its fields show nothing
    unread      steps of the scale that were not read
    """

    session: int
    region: str
    aim: NeutralAim
    condition: Condition | None
    steps: tuple[GreyStep, ...]
    thirds: Mapping[str, Third]
    crossover: Crossover | None
    evenness: Evenness | None
    black: Black | None
    flatness: Mapping[str, Flatness]  # "middle" and "black"
    lights: Mapping[str, UnderLight]
    worst_light: str | None
    conditions: Mapping[str, tuple[tuple[float, float, float], ...]]  # M0, M1, M2: CIELAB along the steps
    drying: Drying | None
    rings: tuple[Ring, ...]
    scale: Evidence
    paper: tuple[float, float, float]
    black_from: BlackFrom
    instrument: str | None = None
    colourless: bool = False
    unread: int = 0
