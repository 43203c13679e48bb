"""`drydown neutrality --json`."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import DE00, Density, Lab, Sentences, Session
from evaluation.judgement.greys import Basis
from evaluation.judgement.two_prints import Word

Chroma = Annotated[float, Meta(ge=0, description="dCh: distance in a*, b*")]
Shift = Annotated[tuple[float, float], Meta(description="a*, b*")]


class Toning(TypedDict):
    """How the greys are toned on the whole, where warm or cool was wanted."""

    family: str
    shift: Chroma
    word: str
    held: str
    turns: bool


class Tone(TypedDict):
    """The tone that the greys are held to."""

    wanted: str
    against: str
    toning: Toning | None


class Step(TypedDict):
    """One grey, from black to paper."""

    patch: str
    name: str
    source_l: float
    lab: Lab
    density: Density | None
    aim: Shift
    dch: Annotated[float | None, Meta(description="from the aim")]
    de00: Annotated[float | None, Meta(description="from the aim, at equal L*")]
    counted: Annotated[bool, Meta(description="false: left out of the cast")]
    conditions: Annotated[dict[str, list[float | None]], Meta(description="CIELAB under M0, M1, M2")]
    shifts: Annotated[dict[str, list[float | None]], Meta(description="a*, b* from D50 under each light")]


class ThirdOfScale(TypedDict):
    """A third of the printed range."""

    cast: str
    da: float
    db: float
    dch_mean: Chroma
    dch_p95: Chroma
    de00: DE00
    where: Annotated[str, Meta(description="the step furthest off")]
    steps: int
    basis: Annotated[
        Basis,
        Meta(description="noise: a cast would stay hidden in it; scattered: steps off in no one direction"),
    ]


class Crossover(TypedDict):
    """Where a cast turns."""

    turn: Chroma
    dark: str
    light: str
    near_l: float
    only: Annotated[bool, Meta(description="the cast is in one of the thirds alone")]


class Evenness(TypedDict):
    """Printed steps over aimed ones."""

    spread: Annotated[float | None, Meta(description="standard deviation of the ratio")]
    even: int
    of: int
    monotone: bool
    against: str


class RecordBlack(TypedDict):
    """The patch printed from source black."""

    L: float
    d_max: Density
    d_range: Annotated[float, Meta(description="above the bare paper")]
    d_spread: float | None
    effective: Annotated[tuple[float, float], Meta(description="density under 0.5 and 1 % of flare")]
    basis: str
    darkest: Annotated[str, Meta(description="a patch that is darker, or empty")]
    note: str


class Flatness(TypedDict):
    """How flat the spectrum of a grey is."""

    value: Annotated[float | None, Meta(description="null where it cannot be told from the noise")]
    noise: float | None
    readings: int


class LightSpread(TypedDict):
    """One standard error of a shift under a light, dCh."""

    choice: Annotated[float, Meta(description="by CAT16, CAT02 and linear Bradford, which differ")]
    reading: Annotated[float, Meta(description="by reading the print again for both lights")]


class UnderLight(TypedDict):
    """The scale under one light."""

    largest: Annotated[float, Meta(description="dCh between the shifts of any two steps")]
    mean: float
    paper: Annotated[list[float | None], Meta(description="dL*, da*, db* of the paper itself")]
    condition: str | None
    stress: Annotated[bool, Meta(description="a stress test, never judged")]
    spread: LightSpread


class DryingAge(TypedDict):
    """The readings of one age, and the change since the age before."""

    hours: float
    moved: float | None
    lighter: float | None
    stronger: float | None
    paper: float | None


class Drying(TypedDict):
    """How the print dried."""

    ages: list[DryingAge]
    settled: Annotated[float | None, Meta(description="hours; null: not yet")]
    a_day: Annotated[float | None, Meta(description="dE*ab a day between the last two ages")]


class Ring(TypedDict):
    """The ring-around at one lightness, a* and b* off the aim."""

    group: str
    eye: Annotated[Shift | None, Meta(description="what the eye picked as grey: adaptation, or the light")]
    centre: Annotated[Shift | None, Meta(description="the printed centre")]
    measured: bool
    light: str


class Thirds(TypedDict):
    """The thirds of the scale; null: no step of it counts."""

    light: ThirdOfScale | None
    middle: ThirdOfScale | None
    dark: ThirdOfScale | None


class Record(TypedDict):
    """What was read of the greys; null or empty where nothing was, or may be shown."""

    aim: str | None
    condition: str | None
    instrument: str | None
    hours: Annotated[float | None, Meta(description="age when read")]
    steps: list[Step]
    thirds: Thirds
    crossover: Crossover | None
    evenness: Evenness | None
    black: RecordBlack | None
    flatness: Annotated[dict[str, Flatness], Meta(description="of the middle grey and of the black")]
    lights: dict[str, UnderLight]
    worst_light: Annotated[str | None, Meta(description="of those that are judged")]
    drying: Drying | None
    ring: list[Ring]
    ring_left_out: str | None
    sentence: str


class PrintRecord(Record):
    """One print's record. `why_not` says why there is none."""

    id: Session
    paper: str
    mode: str
    why_not: str
    tone: Tone


class ModeRow(TypedDict):
    """One property of two prints of one paper."""

    what: Annotated[str, Meta(description="a third (dE00; difference in dCh), lights (dCh) or black (D-max)")]
    a: float | None
    b: float | None
    difference: float | None
    word: Word
    reason: str
    exceeds_repeatability: bool


class Modes(TypedDict):
    """The first of the order against another."""

    a: Session
    b: Session
    reason: Annotated[str, Meta(description="why nothing can be compared, or empty")]
    rows: list[ModeRow]


class Neutrality(TypedDict):
    """Black and white on the record."""

    sessions: list[PrintRecord]
    order: Annotated[list[int], Meta(description="by the worst third")]
    modes: list[Modes]
    quote: str
    caveats: Sentences
