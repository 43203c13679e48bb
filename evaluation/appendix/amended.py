"""What changed from one version of an appendix to the next, by section, table and row."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from evaluation.appendix.document import CHANGED, Document, Points, Section, as_now
from evaluation.plain_text import shortened

ARRANGED: Final = "The version before was arranged otherwise, so the two are not told side by side."
SPREADS: Final = "{} standard errors moved; the numbers before them are the same."
_SPREAD: Final = re.compile(r"± ?[\d.]+")
_MOST_TOLD: Final = 40
_ABOVE: Final = 3  # changes that stand above the title's page; project's own choice
CHANGES_ID: Final = "changes"
_SHORT: Final = 80
_Key = tuple[str, ...]
_Said = tuple[str, Any]  # in words, and what the words stand for


def changes(earlier: Mapping[str, Any], later: Mapping[str, Any]) -> tuple[str, ...]:
    """Sentences on what differs between two documents in their plain form; () when nothing does.

    The date of writing is not a change, nor is what the earlier one told of its own changes.
    """
    before, now = (dict(_statements(as_now(document))) for document in (earlier, later))
    keys = [*now, *(key for key in before if key not in now)]
    both = earlier["sections"] and later["sections"]
    if both and any(_arranged(earlier)) != any(_arranged(later)):
        return (ARRANGED,)
    differing = [key for key in keys if before.get(key) != now.get(key)]
    spreads = [key for key in differing if _spread_alone(before.get(key), now.get(key))]
    joined = len(spreads) > 1
    told = [SPREADS.format(len(spreads))] if joined else []
    told += [
        _sentence(key, before.get(key), now.get(key))
        for key in differing
        if not joined or not _spread_alone(before.get(key), now.get(key))
    ]
    rest = len(told) - _MOST_TOLD
    return (*told[:_MOST_TOLD], f"And {rest} more.") if rest > 0 else tuple(told)


def with_changes(document: Document, amends: str, since: tuple[str, ...], told: tuple[str, ...]) -> Document:
    """The document with what changed: a few stand above it, many at its end.

    `amends`: digest of the version before; `since`: sentences on results that are other ones by now.
    """
    if len(told) <= _ABOVE:
        return replace(document, amends=amends, changes=(*since, *told))
    listed = Section(CHANGES_ID, CHANGED, (Points("By section, now and before", told),))
    above = (*since, f"{len(told)} places, listed at the end.")
    return replace(document, amends=amends, changes=above, sections=(*document.sections, listed))


def _arranged(document: Mapping[str, Any]) -> Iterator[bool]:
    """Whether it has an opening: appendices of version 0.1 have none."""
    for section in _sections(document["sections"]):
        yield any(block["kind"] == "opening" for block in section["blocks"])


def _spread_alone(before: _Said | None, now: _Said | None) -> bool:
    """Whether the numbers are the same and only what stands behind a ± has moved."""
    if before is None or now is None or "±" not in before[0]:
        return False
    return _SPREAD.sub("±", before[0]) == _SPREAD.sub("±", now[0])


def _sentence(key: _Key, before: _Said | None, now: _Said | None) -> str:
    place = ", ".join(part for part in key[:-1] if part)
    if before is None:
        return f"{place}: added: {shortened(now[0] if now else '', _SHORT)}"
    if now is None:
        return f"{place}: taken out: {shortened(before[0], _SHORT)}"
    if before[0] == now[0]:
        return f"{place}: other numbers or another picture under the same words"
    return f"{place}: {shortened(now[0], _SHORT)}; before: {shortened(before[0], _SHORT)}"


def _statements(document: Mapping[str, Any]) -> Iterator[tuple[_Key, _Said]]:
    """Everything a document states, under the words that name it; the last part of a key keeps it unique."""
    seen: dict[_Key, int] = {}

    def unique(*key: str) -> _Key:
        seen[key] = seen.get(key, 0) + 1
        return (*key, str(seen[key]))

    yield unique("title"), (document["title"], None)
    for section in _sections(document["sections"]):
        if section["id"] == CHANGES_ID:
            continue
        title = section["title"]
        for block in section["blocks"]:
            match block["kind"]:
                case "opening":
                    for word, rest in block["verdicts"]:
                        yield unique(title, word), (word + rest, None)
                    for number, (claim, evidence) in enumerate(block["reasons"], 1):
                        yield unique(title, f"reason {number}"), (f"{claim} {evidence}", None)
                case "departure":
                    yield unique(title, block["title"]), (" ".join((block["grades"], *block["told"])), None)
                case "paragraph":
                    yield (title, "", block["text"]), (block["text"], None)
                case "facts":
                    for name, value in block["rows"]:
                        yield unique(title, name), (value, None)
                case "points":
                    for item in block["items"]:
                        yield (title, block["lead"], item), (item, None)
                case "table":
                    for first, *rest in block["rows"]:
                        for column, cell in zip(block["heads"][1:], rest, strict=True):
                            if cell:
                                yield unique(title, first, column), (cell, None)
                case "figure":
                    yield unique(title, block["title"]), _drawn(block)
                case "multiples":
                    for figure in block["figures"]:
                        yield unique(title, figure["title"]), _drawn(figure)
                case "picture":
                    yield unique(title, block["caption"]), ("a photograph", block["content"])


def _drawn(figure: Mapping[str, Any]) -> _Said:
    return figure["alt"], [(one["name"], one["x"], one["y"]) for one in figure["lines"]]


def _sections(sections: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for section in sections:
        yield section
        yield from _sections(section["sections"])
