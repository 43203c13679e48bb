"""`drydown compare --json`."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import Density, Grade, LitBy, Sentences, Session, Whitener
from evaluation.judgement.opinion import Agreement
from evaluation.judgement.two_prints import Word


class Print(TypedDict):
    """One of the prints. Its numbers are facts, never grades; null: not read, or not to be shown."""

    id: Session
    paper: str
    printer: str
    quality: str
    mode: str
    verdict: Annotated[str | None, Meta(description="for the use the comparison is for")]
    dmax: Density | None
    range: Annotated[Density | None, Meta(description="above the bare paper")]
    whitener: Whitener | None
    whitener_less: LitBy | None
    skins: Annotated[
        float | None, Meta(description="dCh that skins move beyond real skin under the worst of the lights")
    ]
    skins_spread: Annotated[float | None, Meta(description="one standard error of that")]


class Value(TypedDict):
    """One print in one region. Null where eye and readings disagree: there is no number to compare."""

    combined: Grade | None
    eye: Grade | None
    instrument: Grade | None
    agreement: Agreement


class Difference(TypedDict):
    """Print `b` against the base `a`. No word is a judgement of prints side by side."""

    a: Session
    b: Session
    difference: Annotated[float | None, Meta(description="grade of b less that of a, before rounding")]
    exceeds_repeatability: bool
    word: Annotated[
        Word,
        Meta(
            description="alike: within the repeats of both, and graded alike; measured: beyond the repeats; "
            "large: and large enough to be seen; by grade: graded further apart than viewings vary, the "
            "readings alike or missing; apart: both; contradict: both, the other way round; open: graded "
            "apart by no more than viewings vary"
        ),
    ]
    reason: Annotated[str, Meta(description="what differs most, or why nothing can be compared")]
    graded: Annotated[list[float | None], Meta(description="the eye's grades of a and b")]
    viewings: Annotated[list[int], Meta(description="how many stand behind each of them")]


class Region(TypedDict):
    """One region of the sheet."""

    id: str
    title: str
    values: Annotated[dict[str, Value], Meta(description="by number of session")]
    differences: list[Difference]


class Comparison(TypedDict):
    """Two to thirty prints side by side."""

    sessions: list[Session]
    base: Session
    use: str
    prints: list[Print]
    regions: list[Region]
    groups: Annotated[
        list[list[int]],
        Meta(description="no two of a group differ by enough for the use"),
    ]
    review: Annotated[str, Meta(description="the comparison in a sentence to quote")]
    would_separate: Sentences
    caveats: Sentences
