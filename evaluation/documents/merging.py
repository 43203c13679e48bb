"""`drydown bundle --json` and `drydown merge --json`."""

from typing import Annotated, Any, TypedDict

from msgspec import Meta

from evaluation.documents.units import Moment, Session


class Bundle(TypedDict):
    """`drydown bundle`."""

    file: str
    sessions: list[Session]
    also: Annotated[list[Session], Meta(description="sessions that those refer to")]
    documents: int
    size: Annotated[int, Meta(description="bytes")]


class Version(TypedDict):
    """One of the values that stand beside each other."""

    value: Annotated[Any, Meta(description="as it was entered; null: withdrawn")]
    at: Moment
    here: Annotated[bool, Meta(description="entered in this archive, not brought by a merge")]


class Difference(TypedDict):
    """What was entered apart from each other on one subject."""

    session: Session
    kind: str
    subject: str
    versions: Annotated[list[Version], Meta(description="the last one counts until another is chosen")]


class Came(TypedDict):
    """What one session got."""

    session: Session
    paper: str
    new: bool
    viewings: int
    readings: int
    entries: int
    undos: int
    observers: list[str]
    back: Annotated[bool, Meta(description="it had been removed, and is on the list again")]
    same_name: Annotated[list[str], Meta(description="observers that go by the name of one who looked here")]
    sheet_differs: Annotated[bool, Meta(description="nothing is graded yet, and the sheet here stays")]
    renumbered: Annotated[bool, Meta(description="its viewings are counted by when they began")]


class Merge(TypedDict):
    """`drydown merge FILE...`."""

    dry_run: bool
    sessions: list[Came]
    documents: int
    rounds: int
    judgements: int
    differences: list[Difference]
    kept: Annotated[str | None, Meta(description="the archive as it was, beside it; null: nothing came")]


class Differences(TypedDict):
    """`drydown merge` without a bundle: what is still to be chosen."""

    differences: list[Difference]


class MergeUndone(TypedDict):
    """`drydown merge --undo`."""

    undone: Annotated[list[str], Meta(description="the bundles that were merged")]
