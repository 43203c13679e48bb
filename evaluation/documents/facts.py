"""`drydown facts --json`."""

from typing import Annotated, Any, Literal, TypedDict

from msgspec import Meta

from evaluation.documents.units import Session


class Stated(TypedDict):
    """One fact that somebody stated."""

    id: str
    title: str
    session: Annotated[int, Meta(description="in which it was stated")]
    whose: Literal["session", "printer"]
    value: float | None
    error: Annotated[float | None, Meta(description="one standard error; null: not known")]
    unit: str | None
    shown: Annotated[str, Meta(description="in words")]
    parts: Annotated[dict[str, Any], Meta(description="as it was stated")]
    method: str
    tells_not: str


class OfPaper(TypedDict):
    """One fact of the bare paper, from readings."""

    id: str
    title: str
    value: Annotated[float | None, Meta(description="null where it is not known")]
    unit: str
    shown: str
    condition: str | None
    source: str
    mark: Annotated[str, Meta(description="of the source: READ, COMPUTED, MEMORY or own")]
    tells_not: str


class FactsForReaders(TypedDict):
    """What readers ask for and nobody grades."""

    session: Session
    stated: list[Stated]
    paper: list[OfPaper]
