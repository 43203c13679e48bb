"""`drydown export --json`."""

from typing import Annotated, Literal, TypedDict

from msgspec import Meta

from evaluation.documents.actions import ProblemParts


class ArchiveAsTables(TypedDict):
    """What became of one archive."""

    archive: str
    origin: Annotated[str | None, Meta(description="of the folders its files lie in; null: not exported")]
    sessions: Annotated[int, Meta(description="on its list")]
    waiting: Annotated[int, Meta(description="sessions without a result that is up to date")]
    written: Annotated[int, Meta(description="files")]
    unchanged: Annotated[int, Meta(description="files that lie there as they would be written")]
    problem: ProblemParts | None


class Export(TypedDict):
    """`drydown export`: the tables and columns themselves are listed in the folder's dictionary.json."""

    folder: str
    formats: list[Literal["csv", "json", "parquet"]]
    with_names: bool
    archives: list[ArchiveAsTables]
