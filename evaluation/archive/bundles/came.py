"""What a merge brought, session by session."""

from dataclasses import dataclass

from evaluation.archive.bundles.differences import Difference


@dataclass(frozen=True, slots=True)
class Came:
    """What one session got. `number` is its own here; `observers` are those of the viewings that came."""

    number: int
    new: bool
    viewings: int
    readings: int
    entries: int
    undos: int
    observers: tuple[str, ...] = ()
    back: bool = False  # it had been removed here, and is on the list again
    same_name: tuple[str, ...] = ()  # observers that looked here as well, by their names
    sheet_differs: bool = False  # nothing was graded yet, and the sheet here stays
    renumbered: bool = False  # viewings are counted by when they began

    @property
    def anything(self) -> bool:
        """Whether the session is another than before."""
        return (
            self.new
            or self.back
            or self.renumbered
            or any((self.viewings, self.readings, self.entries, self.undos))
        )


@dataclass(frozen=True, slots=True)
class Merged:
    """What a merge brought, or would bring. `kept`: name of the copy of the archive as it was before."""

    sessions: tuple[Came, ...]
    documents: int
    rounds: int
    judgements: int
    differences: tuple[Difference, ...]
    kept: str = ""

    @property
    def anything(self) -> bool:
        """Whether the archive is another than before."""
        return bool(self.documents or self.rounds or self.judgements) or any(
            each.anything for each in self.sessions
        )
