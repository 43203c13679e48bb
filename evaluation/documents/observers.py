"""What `drydown weigh --observers` prints."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import Grade, Sentences, Session, Share


class Alike(TypedDict):
    """Pairs of grades of one question by two observers."""

    equal: Share
    within_one: Share
    pairs: int


class RegionByObserver(TypedDict):
    """A region as each observer graded it, in the order of `observers`."""

    region: str
    title: str
    grades: list[Grade | None]
    grade: Annotated[Grade | None, Meta(description="mean of the observers that count; null: none graded it")]
    interval: Annotated[
        tuple[float, float] | None,
        Meta(description="95 %, t; may pass the ends of the scale"),
    ]
    all_in: Annotated[Grade | None, Meta(description="mean of all; null: nobody is set aside")]
    alike: Annotated[Alike | None, Meta(description="over its questions; null: none was graded twice")]


class OneObserver(TypedDict):
    """One observer, by role."""

    observer: str
    prints_seen: Annotated[int, Meta(description="sessions here with a viewing under the same name")]
    colour_vision: Annotated[str | None, Meta(description="how it was tested; null: not known")]
    set_aside: Annotated[bool, Meta(description="by a person: shown, and no part of anything else")]
    lean: Annotated[float | None, Meta(description="grades above the mean of all; null: not known")]
    error: float | None
    named: Annotated[bool, Meta(description="whether the lean is large and sure enough to be named")]
    unlike: Annotated[float | None, Meta(description="spread of the distance from the others, grades")]


class ObserversOfPrint(TypedDict):
    """Several observers of one print."""

    session: Session
    observers: list[OneObserver]
    regions: list[RegionByObserver]
    alike: Alike | None
    rest: Annotated[float | None, Meta(description="what observers differ by beyond their leans, grades")]
    alpha: Annotated[float | None, Meta(description="Krippendorff's, ordinal; null: it would say nothing")]
    alpha_interval: tuple[float, float] | None
    not_by_all: list[str]
    not_by_the_same: Annotated[
        list[Session],
        Meta(description="prints of the same sheet that other people, or not all of these, saw"),
    ]
    waiting: Annotated[list[str], Meta(description="regions the newest viewing has yet to grade")]
    told: Sentences
