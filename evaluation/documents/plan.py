"""What `drydown plan` prints."""

from typing import Annotated, Literal, TypedDict

from msgspec import Meta

from evaluation.documents.units import Moment, Sentences, Session, Share

Step = Literal["charts", "profile", "sheet", "look", "second"]
LocalTime = Annotated[str, Meta(description="ISO 8601, local time without a zone")]
Day = Annotated[str, Meta(description="ISO 8601")]
Hours = Annotated[float, Meta(description="hours")]


class PlannedJob(TypedDict):
    """One paper in one setting."""

    paper: str
    setting: str
    state: Literal["now", "dries", "open", "done", "left out"]
    step: Annotated[Step | None, Meta(description="what comes next; null where nothing does")]
    dry_at: Annotated[LocalTime | None, Meta(description="null where nothing dries")]
    latest_start: Annotated[LocalTime | None, Meta(description="null: it does not fit, or is done")]
    session: Annotated[Session | None, Meta(description="null before one is begun")]


class Likely(TypedDict):
    """How likely it is that all is done in time, after leaving out what the sentence says."""

    told: str
    share: Annotated[Share, Meta(description="of 200 replays")]


class StepMinutes(TypedDict):
    """What a step takes in hand."""

    step: Step
    minutes: float
    by: Annotated[
        Literal["usual", "entered", "timed"],
        Meta(description="timed: the median of three timers of one's own or more"),
    ]


class ReadersQuestion(TypedDict):
    """What a reader asked."""

    number: int
    text: str
    who: str
    paper: str
    region: str
    asked: Moment
    answer: Annotated[str | None, Meta(description="null while it is open")]
    appendix: str


class Plan(TypedDict):
    """The plan of a loan as it stands."""

    loan: int
    printer: str
    first: Day | None
    last: Day | None
    now: Annotated[Sentences, Meta(description="what to do now, and why")]
    begins: LocalTime | None
    jobs: list[PlannedJob]
    work: Hours
    open: Hours
    likely: list[Likely]
    minutes: list[StepMinutes]
    questions: list[ReadersQuestion]
    troubles: Sentences


class LoanBegun(TypedDict):
    """A loan that was begun, or changed."""

    loan: int


class Asked(TypedDict):
    """A question that was kept or answered."""

    loan: int
    question: int
