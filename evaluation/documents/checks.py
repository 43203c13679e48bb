"""`drydown check --json`, with an archive, an appendix or `--numbers`."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import Sentences, Session


class Health(TypedDict):
    """Is the archive sound?"""

    version: int
    sessions: int
    entries: int
    readings: int
    documents: int
    weighings: int
    size: Annotated[int, Meta(description="bytes")]
    troubles: Sentences
    sound: bool


class Unchanged(TypedDict):
    """Is an appendix as it was written?"""

    file: str
    unchanged: bool
    what: str


class Number(TypedDict):
    """One kind of number, worked out twice."""

    what: str
    unit: str
    numbers: int
    largest: Annotated[float, Meta(ge=0, description="greatest difference between ours and colour-science's")]
    where: str
    limit: Annotated[float, Meta(description="up to which no figure that is shown would change")]
    agrees: bool


class Numbers(TypedDict):
    """A session's colorimetry, beside that of colour-science."""

    session: Session
    agree: bool
    numbers: list[Number]
    waiting: Annotated[list[str], Meta(description="regions left out until they are graded")]
    remarks: Sentences
