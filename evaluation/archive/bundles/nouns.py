"""The nouns of bundles: what went into one, what a merge brings and leaves to choose, one to take back."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from evaluation.entry import Draft, EntryKind

COPIES: Final = 3  # of the archive as it was before a merge: the newest are kept (project's own choice)


@dataclass(frozen=True, slots=True)
class Bundled:
    """What went into a bundle. `also` are sessions that were not named but that the others rest on."""

    sessions: tuple[int, ...]
    also: tuple[int, ...]
    documents: int
    size: int  # bytes


@dataclass(frozen=True, slots=True)
class Version:
    """One of the values of a difference; `here`: it was not brought by a merge."""

    value: Any
    at: datetime
    here: bool


@dataclass(frozen=True, slots=True)
class Divergence:
    """What stands beside each other on one subject. The last of `versions` counts."""

    session: int
    viewing: int | None
    kind: EntryKind
    subject: str
    versions: tuple[Version, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """The version of a difference that somebody chose: it counts from then on, as a new entry."""

    difference: Divergence
    value: Any

    @property
    def draft(self) -> Draft:
        """The entry that says so."""
        one = self.difference
        return Draft(one.kind, one.subject, self.value, one.viewing)

    def fits(self, found: Collection[Divergence]) -> bool:
        """Whether there is still this to choose from."""
        one = self.difference
        return any(
            (each.session, each.viewing, each.kind, each.subject)
            == (one.session, one.viewing, one.kind, one.subject)
            and self.value in [version.value for version in each.versions]
            for each in found
        )


@dataclass(frozen=True, slots=True)
class Came:
    """What one session got. `number` is its own here; `observers` are those of the viewings that came.

    `paper`: as it is stated here; of a new session as it came.
    """

    number: int
    paper: str
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
    differences: tuple[Divergence, ...]
    kept: str = ""

    @property
    def anything(self) -> bool:
        """Whether the archive is another than before."""
        return bool(self.documents or self.rounds or self.judgements) or any(
            each.anything for each in self.sessions
        )


@dataclass(frozen=True, slots=True)
class Merging:
    """The merge that `undo` would take back."""

    at: datetime
    files: tuple[str, ...]
    kept: Path
