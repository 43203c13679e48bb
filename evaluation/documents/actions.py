"""What the commands that keep or write something say they did."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import Moment, Sentences, Session

LeftOut = Annotated[dict[str, list[str]], Meta(description="keys that the form leaves blank, by its tables")]


class Listed(TypedDict):
    """A line of the list of sessions."""

    id: Session
    paper: str
    printer: str
    made_for: str | None
    state: Annotated[
        str, Meta(description="describing, preparing, drying, looking, reading, weighed, written up")
    ]
    verdict: Annotated[str | None, Meta(description="for its use; null until it is weighed as it stands")]
    removed: Annotated[Moment | None, Meta(description="when it was taken off the list")]


class Listing(TypedDict):
    """`drydown list`."""

    sessions: list[Listed]


class Begun(TypedDict):
    """`drydown new`."""

    session: Session
    left_out: LeftOut


class Template(TypedDict):
    """A form to fill in."""

    template: str


class Graded(TypedDict):
    """`drydown grade`."""

    session: Session
    observer: str
    answers: int
    faults: int
    remarks: int
    left_out: LeftOut


class TakenIn(TypedDict):
    """One table of readings that was taken in."""

    readings: int
    condition: str | None
    printed_as: str
    matched: int
    matched_by: str
    unmatched_rows: int
    unmatched_patches: int


class FileTaken(TypedDict):
    """One file of readings that was taken in."""

    file: str
    tables: list[TakenIn]
    remarks: Sentences


class Reading(TypedDict):
    """`drydown read`. No value of any patch: they would train the eye."""

    session: Session
    files: list[FileTaken]


class Drawn(TypedDict):
    """`drydown sheet OUT.tif`."""

    files: list[str]
    code: str
    remarks: Sentences


class MapChecked(TypedDict):
    """`drydown sheet --check`."""

    map: str
    title: str
    regions: int
    questions: int
    patches: int
    paper: str | None
    black: str | None


class Written(TypedDict):
    """A file that was written."""

    file: str


class Appendix(TypedDict):
    """`drydown appendix`."""

    file: str
    sessions: list[Session]
    digest: str
    beside: Annotated[list[str], Meta(description="files written beside it")]


class Attached(TypedDict):
    """`drydown attach`."""

    session: Session
    region: str
    file: str


class BroughtBack(TypedDict):
    """`drydown bring-back`."""

    sessions: list[Session]


class ProblemParts(TypedDict):
    """What went wrong, where, and what to do."""

    what: str
    where: str
    expected: str
    found: str
    remedy: str


class Problem(TypedDict):
    """Any command that could not be done."""

    problem: ProblemParts
