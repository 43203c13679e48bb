"""Records without anybody's name: observers by role, and their names out of all that was typed."""

import json
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from evaluation.archive.bundles.records import Holdings, Record

Person = TypeVar("Person", str, tuple[str, str])  # a name, or a name with its family
_ROLE = re.compile(r"observer \d+")


def without_names(held: Holdings) -> Holdings:
    """The same sessions with observers as "observer 1", "observer 2", in the order they first looked.

    Appendices and the files that readings came from are left out: they may name people where nobody sees it.
    """
    people = [(one.content[3], _person(one)) for one in held.of("viewing")]
    people += [(one.content[0], _person(one)) for one in held.of("round")]
    roles = roles_of(people)
    scrub = scrubber({name: role for (name, _), role in roles.items()})
    dropped = {
        name for name, one in held.records.items() if one.what == "entry" and one.content[1] == "written"
    }
    kept = {
        name: _nameless(one, roles, scrub)
        for name, one in held.records.items()
        if name not in dropped and not (one.what == "turn" and one.content[0] in dropped)
    }
    sights = frozenset(pair for pair in held.sights if not dropped.intersection(pair))
    return Holdings(held.sessions, kept, sights)


def _person(record: Record) -> tuple[str, str]:
    """Name and family of whoever made a viewing or a round; a name is one person in every family."""
    name = record.content[0 if record.what == "viewing" else 1]
    return name, record.content[-1] if _ROLE.fullmatch(name) else ""


def roles_of(looked: Iterable[tuple[str, Person]]) -> dict[Person, str]:
    """The role of each person, from the moments they looked, as the archive keeps those."""
    order = list(dict.fromkeys(person for _, person in sorted(looked)))
    return {person: f"observer {place}" for place, person in enumerate(order, start=1)}


def scrubber(roles: Mapping[str, str]) -> Callable[[str], str]:
    """Replaces names, and each word of them that is no everyday role, wherever they stand as words."""
    named = {name: role for name, role in roles.items() if name.strip() and not _ROLE.fullmatch(name)}
    words = {word: role for name, role in named.items() for word in name.split() if len(word) > 2}
    both = {each.casefold(): role for each, role in (words | named).items()}
    if not both:
        return lambda text: text
    longest = sorted(both, key=len, reverse=True)
    found = re.compile(r"(?<!\w)(?:" + "|".join(map(re.escape, longest)) + r")(?!\w)", re.IGNORECASE)
    return lambda text: found.sub(lambda match: both.get(match.group().casefold(), "an observer"), text)


def _nameless(record: Record, roles: Mapping[tuple[str, str], str], scrub: Callable[[str], str]) -> Record:
    content = list(record.content)
    match record.what:
        case "viewing":
            content[0], content[-1] = roles[_person(record)], ""
        case "round":
            content[1], content[-1] = roles[_person(record)], ""
        case "readings":
            content[1] = None
            for place in (2, 3):
                content[place] = scrub(content[place])
            for place in (6, 9, 11):
                content[place] = _dumped(_within(json.loads(content[place]), scrub))
        case "entry" if content[1] != "readings":
            content[2] = scrub(content[2])
            if not (content[1] == "condition" and content[2] == "black_from"):
                content[3] = _dumped(_within(json.loads(content[3]), scrub))
    return replace(record, content=tuple(content))


def _within(value: Any, scrub: Callable[[str], str]) -> Any:
    if isinstance(value, str):
        return scrub(value)
    if isinstance(value, list):
        return [_within(one, scrub) for one in value]
    if isinstance(value, dict):
        return {key: _within(one, scrub) for key, one in value.items()}
    return value


def _dumped(value: Any) -> str:
    return json.dumps(value, separators=(",", ":"))
