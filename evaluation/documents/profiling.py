"""`drydown chart --json`: profiling data, printed unmanaged."""

from typing import Annotated, Literal, TypedDict

from msgspec import Meta

from evaluation.documents.units import DE00, Density, Lab, Moment, Sentences, Session


class Condition(TypedDict):
    """What profiling data belong to."""

    printer: str
    inks: str
    paper: str
    media_setting: str
    quality: str
    direction: str


class Paper(TypedDict):
    """The bare paper."""

    lab: Lab
    density: Density | None


class Flatness(TypedDict):
    """How flat the spectrum of the black is."""

    value: float | None
    floor: Annotated[float | None, Meta(description="what noise alone would give")]
    readings: int
    told: Annotated[bool, Meta(description="whether it can be told from the noise")]


class Given(TypedDict):
    """A visual density as the instrument gave it."""

    density: Density | None
    status: Annotated[str | None, Meta(description="of ISO 5-3, as the file states it")]


class Black(TypedDict):
    """The patch of no light, or of full ink."""

    lab: Lab
    density: Density | None
    range: Annotated[float | None, Meta(description="above the bare paper")]
    spread: Annotated[float | None, Meta(description="one standard error of the density")]
    basis: str
    given: Given | None
    flatness: Flatness | None


class Darkest(TypedDict):
    """The darkest patch of all."""

    name: str
    density: Density | None


class GreyStep(TypedDict):
    """A patch of equal device values; of CMYK, of black ink alone."""

    level: Annotated[float, Meta(ge=0, le=1, description="device value")]
    lab: Lab
    dch: Annotated[float | None, Meta(description="from the tint of the paper")]


class Greys(TypedDict):
    """The row of equal device values."""

    falls: Annotated[int, Meta(description="steps darker than the one before")]
    mean_dch: float | None
    steps: list[GreyStep]


class Whitener(TypedDict):
    """Optical brightener of the bare paper: M2 less M1, or less M0 for want of M1."""

    less: Annotated[str, Meta(description="M1 or M0")]
    dl: float | None
    da: float | None
    db: float | None
    glow: Annotated[float | None, Meta(description="largest reflectance factor gained")]
    glow_nm: float | None


class Repeats(TypedDict):
    """Patches that were read more than once in the file."""

    patches: int
    mcdm: Annotated[float | None, Meta(description="mean dE00 from the mean")]
    p95: float | None


class Chart(TypedDict):
    """The largest file of patches printed unmanaged; null: that part was not read."""

    file: str
    measured_at: Moment | None
    patches: int
    readings: int
    device_space: str | None
    conditions: list[str]
    condition: str | None
    backing: str | None
    instrument: str | None
    paper: Paper | None
    black: Black | None
    darkest: Darkest
    greys: Greys | None
    whitener: Whitener | None
    repeats: Repeats
    remarks: Sentences


class Compared(TypedDict):
    """Two readings of some of the same patches."""

    word: Literal["alike", "measured", "large"]
    condition: str
    patches: int
    mean_de00: DE00 | None
    p95_de00: DE00 | None
    largest_de00: DE00 | None
    worst: str
    bias: Annotated[tuple[float, float, float], Meta(description="mean dL*, da*, db*")]
    limit: Annotated[float | None, Meta(description="dE*ab that repeats explain")]
    limit_dark: Annotated[float | None, Meta(description="below L* 50, where patches spread otherwise")]
    beyond: Annotated[int | None, Meta(description="patches above the limit")]
    within_sheets: Annotated[bool, Meta(description="two sheets of one setting may differ by as much")]
    remarks: Sentences


class Again(Compared):
    """Patches of the chart that were read again later: has the machine moved?"""

    file: str
    measured_at: Moment | None


class Offered(TypedDict):
    """What another session of the same printing condition keeps."""

    session: Session
    file: str
    readings: int


class OfSession(TypedDict):
    """The profiling data of one session."""

    id: Session
    condition: Condition
    chart: Chart | None
    again: list[Again]
    offered: list[Offered]


class Between(TypedDict):
    """One session against the first; null where two charts share no patch."""

    a: Session
    b: Session
    compared: Compared | None


class Profiling(TypedDict):
    """Profiling data side by side."""

    sessions: list[OfSession]
    between: list[Between]
