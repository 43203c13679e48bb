"""`drydown settings --json`: every value a weighing goes by."""

from typing import Annotated, Literal, TypedDict

from msgspec import Meta


class Threshold(TypedDict):
    """A limit."""

    name: str
    value: float
    unit: str
    mark: Annotated[
        Literal["READ", "COMPUTED", "MEMORY", "own"],
        Meta(description="seen in a public source, worked out, recalled and unconfirmed, our own choice"),
    ]
    note: str
    overridden: bool


class Anchor(TypedDict):
    """From a reading to a grade."""

    name: str
    at: Annotated[list[float], Meta(description="the value at grade 5, 4, 3, 2 and 1")]
    unit: str
    regions: list[str]
    graded: bool
    source: str
    overridden: bool


class Use(TypedDict):
    """What a use asks of a print."""

    name: str
    weights: Annotated[dict[str, float], Meta(description="by region; 0 leaves one out")]
    key: Annotated[list[str], Meta(description="regions that decide by themselves")]
    where_shown: Annotated[list[str], Meta(description="regions that count where the sheet shows them")]
    overridden: bool


class CauseFactor(TypedDict):
    """How much the evidence of a possible cause counts."""

    id: str
    text: str
    factor: float
    overridden: bool


class Settings(TypedDict):
    """All settings in force, and what is the user's own."""

    digest: Annotated[str, Meta(description="sha256 of the tables in force")]
    overridden: Annotated[list[str], Meta(description="what results rest on, by its path in the file")]
    thresholds: list[Threshold]
    clues: Annotated[list[Threshold], Meta(description="limits by which possible causes are looked for")]
    routine: Annotated[list[Threshold], Meta(description="what is done now and then; no result rests on it")]
    anchors: list[Anchor]
    uses: list[Use]
    causes: list[CauseFactor]
    never_graded: list[str]


class SettingsFile(Settings):
    """All settings in force, and where the user's own are looked for."""

    file: str


class Calibrated(TypedDict):
    """An observer's calibration from sessions of their own."""

    name: str
    observer: str
    made: Annotated[str, Meta(description="the date")]
    lean: Annotated[float, Meta(description="the eye less the readings, in grades")]
    error: Annotated[float, Meta(description="one standard error of that")]
    regions: int
    spread: Annotated[
        float | None, Meta(description="of the true grades of a print's regions; null from too few prints")
    ]
    sessions: Annotated[list[str], Meta(description="unique ids")]
    toml: Annotated[str, Meta(description="as it stands in weighing.toml")]


class OtherVerdict(TypedDict):
    """Another verdict for a use."""

    use: str
    was: str
    then: str


class Hanging(TypedDict):
    """A limit that a verdict hangs on."""

    name: str
    value: str
    tried: str
    verdicts: list[OtherVerdict]


class Sensitivity(TypedDict):
    """Which limits a session's verdicts hang on."""

    session: int
    by: Annotated[float, Meta(description="the share by which each limit was raised and lowered")]
    limits: list[Hanging]


class FromDecisions(TypedDict):
    """The limits of a verdict, fitted to decisions of one's own."""

    name: Annotated[str, Meta(description="the file of the decisions")]
    made: Annotated[str, Meta(description="the date")]
    decisions: int
    given_back: Annotated[int, Meta(description="decisions that the limits give back")]
    left_out: Annotated[list[int], Meta(description="sessions with a key region that has no grade")]
    limits: Annotated[dict[str, float], Meta(description="grades, by the names of the thresholds")]
    spreads: Annotated[dict[str, float], Meta(description="one standard error of each")]
    toml: Annotated[str, Meta(description="as it stands in weighing.toml")]
