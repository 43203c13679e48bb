"""`drydown weigh --json`."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import DE00, Density, Grade, LitBy, Sentences, Session, Whitener
from evaluation.judgement.opinion import Agreement, VerdictWord

Vector = Annotated[
    tuple[float, float, float],
    Meta(description="dL*, da*, db*, relative to the paper; the first two stages add up to the whole"),
]
Spread = Annotated[float, Meta(ge=0, description="one standard error of the grade")]


class Opinion(TypedDict):
    """A grade and how sure it is."""

    grade: Grade
    spread: Spread


class EyeOpinion(Opinion):
    """What the eye says of a region."""

    viewings: Annotated[int, Meta(ge=0, description="how many viewings stand behind it")]


class InstrumentOpinion(Opinion):
    """What the readings say of a region."""

    metrics: Annotated[dict[str, float], Meta(description="every metric of the region, in its own unit")]


class Stage(TypedDict):
    """One stage of a region's way from the file to the print."""

    step: Annotated[str, Meta(description="intent and gamut, print, or whole")]
    vector: Vector
    de00: DE00 | None
    patches: Annotated[int, Meta(description="behind the vector")]
    counted: Annotated[int, Meta(description="behind the dE00: the print cannot miss what no ink reaches")]


class Finding(TypedDict):
    """What is found in one region. A grade is null where there is none, or none that may be shown yet."""

    id: str
    title: str
    eye: EyeOpinion | None
    instrument: InstrumentOpinion | None
    agreement: Annotated[Agreement, Meta(description="left out: a ring-around printed without colour")]
    combined: Opinion | None
    why: str
    faults: list[str]
    steps: list[Stage]


class Verdict(TypedDict):
    """The verdict for one use."""

    verdict: VerdictWord
    told: Annotated[str, Meta(description="the word with how sure it is, as people read it")]
    leading: Annotated[VerdictWord | None, Meta(description="the likeliest word; null when incomplete")]
    share: Annotated[float | None, Meta(description="of simulated gradings that give it, 0 to 1")]
    reasons: Sentences
    would_decide: Annotated[str | None, Meta(description="what would settle an open verdict")]


class Cause(TypedDict):
    """A possible cause, never more than that."""

    id: str
    text: str
    evidence_for: Sentences
    evidence_against: Sentences
    first_check: str
    cost: str


class Paper(TypedDict):
    """The paper's own change since profiling, absolute CIELAB."""

    profile: tuple[float, float, float]
    measured: tuple[float, float, float]
    de00: DE00


class FitPart(TypedDict):
    """The fit of one part of the colours."""

    part: str
    median: DE00
    p95: DE00
    patches: int


class Fit(TypedDict):
    """The profile against the readings it was made from."""

    median: DE00
    p95: DE00
    patches: int
    parts: list[FitPart]


class Black(TypedDict):
    """The patch printed from source black; null: not read, or not to be shown."""

    condition: str | None
    dmax: Density | None
    range: Annotated[Density | None, Meta(description="above the bare paper")]
    seen: Annotated[tuple[float, float] | None, Meta(description="density under 0.5 and 1 % of flare")]
    darker_patch: str | None
    whitener: Whitener | None
    whitener_less: LitBy | None
    why_not: str | None


class Weighing(TypedDict):
    """A session weighed as it stands."""

    session: Session
    regions: list[Finding]
    verdicts: Annotated[dict[str, Verdict], Meta(description="by use")]
    causes: list[Cause]
    paper: Paper | None
    profile_fit: Annotated[Fit | None, Meta(description="null until the profiling data are taken in")]
    print_step: Annotated[dict[str, float] | None, Meta(description="predicted to printed, dE00 by metric")]
    caveats: Sentences
    settings: Annotated[str, Meta(description="sha256 of the tables in force")]


class WeighingWithBlack(Weighing):
    """A session weighed as it stands, with the facts of its black."""

    black: Black
