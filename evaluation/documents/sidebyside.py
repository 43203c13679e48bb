"""What `drydown sidebyside` prints."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import Sentences, Session

Jnd = Annotated[float, Meta(description="just noticeable differences, ISO 20462-1; 75 % name the better one")]


class PairApart(TypedDict):
    """Two prints that were laid beside each other."""

    first: Session
    second: Session
    judgements: int
    told_apart: bool
    order_only: Annotated[bool, Meta(description="too few judgements for a figure")]
    by: Annotated[Jnd | None, Meta(description="positive: the first is better; null: order only, or above 2")]
    these_eyes: Annotated[tuple[Jnd, Jnd] | None, Meta(description="95 %; null where `by` is")]
    other_eyes: Annotated[tuple[Jnd, Jnd] | None, Meta(description="95 %; null also for one observer")]
    told: str


class BesideInRegion(TypedDict):
    """What the answers in one region add up to."""

    region: str
    asked: str
    prints: list[Session]
    observers: list[str]
    no_difference: Annotated[int, Meta(description="answers that named neither")]
    pairs: list[PairApart]
    circles: Annotated[list[list[Session]], Meta(description="first over second over third over first")]
    consistence: Annotated[float | None, Meta(description="Kendall's; null where it would say nothing")]


class WaitingRound(TypedDict):
    """A round that waits for answers. Which letter is which print is not said."""

    round: int
    region: str
    observer: str
    asked: str
    letters: list[str]
    answered: int
    pairs: int


class TrianglesInRegion(TypedDict):
    """What ended triangle tests of two prints in one region come to, over the observers."""

    region: str
    prints: list[Session]
    observers: list[str]
    triangles: int
    right: int
    something_to_see: bool


class SideBySide(TypedDict):
    """Prints laid beside each other under letters."""

    sessions: list[Session]
    waiting: list[WaitingRound]
    regions: list[BesideInRegion]
    opened_early: Annotated[list[int], Meta(description="rounds whose letters were opened too early")]
    triangles: list[TrianglesInRegion]
    told: Sentences


class Triangles(TypedDict):
    """A triangle test: drawn, or what came of it."""

    triangles: int
    order: Annotated[list[list[Session]], Meta(description="left, middle, right; empty with `right`")]
    least_right: Annotated[int, Meta(description="that guessing reaches in 5 % at most")]
    right: int | None
    something_to_see: bool | None
    missed: Annotated[float, Meta(description="share of such tests that miss what half of all observers see")]
    told: Sentences


class RoundsRecorded(TypedDict):
    """Answers that were recorded from a form."""

    rounds: list[int]
    answers: int
