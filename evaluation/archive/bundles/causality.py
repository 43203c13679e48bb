"""Entries on one subject: which was made in sight of which, and which stand apart.

The last one counts, by the order of their numbers. Numbers follow sight: nothing ever stands before what it
was made in sight of. So where nothing stands apart, the one that counts is the same in every archive.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from evaluation.archive.bundles.records import Name


@dataclass(frozen=True, slots=True)
class EntryInSight:
    """One entry on a subject. `saw` are the entries of other origins that it was made in sight of."""

    name: Name
    number: int
    live: bool
    value: str
    saw: tuple[Name, ...] = ()

    @property
    def origin(self) -> str:
        """The origin it was born under."""
        return self.name.partition("/")[0]

    @property
    def sequence(self) -> int:
        """Its place in that origin."""
        return int(self.name.partition("/")[2])


def before(entries: Iterable[EntryInSight]) -> Mapping[Name, frozenset[Name]]:
    """For each entry all those that it was made in sight of, at first or at second hand."""
    found: dict[Name, frozenset[Name]] = {}
    newest: dict[str, Name] = {}
    for one in sorted(entries, key=lambda each: each.number):
        direct = {*one.saw, newest[one.origin]} if one.origin in newest else set(one.saw)
        found[one.name] = frozenset(direct).union(*(found.get(name, frozenset()) for name in direct))
        newest[one.origin] = one.name
    return found


def standing(entries: Sequence[EntryInSight]) -> tuple[EntryInSight, ...]:
    """The live entries that no other live one was made in sight of, by number: the last of them counts."""
    sight = before(entries)
    live = [one for one in entries if one.live]
    seen = frozenset().union(*(sight[one.name] for one in live)) if live else frozenset()
    return tuple(sorted((one for one in live if one.name not in seen), key=lambda one: one.number))


def apart(entries: Sequence[EntryInSight]) -> tuple[EntryInSight, ...]:
    """Those of `standing` where they do not say the same; () where a person need not choose."""
    found = standing(entries)
    return found if len({one.value for one in found}) > 1 else ()


def with_last(entries: Sequence[EntryInSight], counts: Name) -> list[EntryInSight]:
    """An order that follows sight, in which this entry stands behind all those that it stands apart from."""
    sight = before(entries)
    later = {one.name for one in entries if one.name == counts or counts in sight[one.name]}
    ordered = sorted(entries, key=lambda one: one.number)
    return [one for one in ordered if one.name not in later] + [one for one in ordered if one.name in later]
