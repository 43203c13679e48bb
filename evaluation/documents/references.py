"""What `drydown references` prints."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import Sentences, Session


class KeptReference(TypedDict):
    """A print that is graded again and again."""

    session: Session
    paper: str
    graded: Annotated[str | None, Meta(description="when last, UTC; null: never")]


class DayOfReferences(TypedDict):
    """One observer's grades of one day against the first look at the same prints."""

    day: str
    observer: str
    sessions: list[Session]
    first_look: bool
    drift: Annotated[float | None, Meta(description="grades; null: the first look, or too few regions")]
    error: Annotated[float | None, Meta(description="one standard error of it, grades")]
    regions: int
    beyond_error: Annotated[bool, Meta(description="more than 1.96 errors")]


class OwnReferences(TypedDict):
    """Own reference prints, and how steady each eye is over them."""

    kept: list[KeptReference]
    due: Annotated[Session | None, Meta(description="which is to be graded again; null: none")]
    days: list[DayOfReferences]
    told: Sentences
