"""The nouns of an appendix: one tree of plain values, which every renderer turns into its own form.

Text in the tree is text: a renderer escapes it for its own language and never reads a meaning into it.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from typing import Any, Final, Literal

from evaluation.plain_text import visible
from evaluation.telling.figure import Figure, Line
from evaluation.telling.table import Table

ANNEXE: Final = "annexe"  # id of the section behind which everything is set smaller
CHANGED: Final = "Changed since the version before"  # what leads into `Document.changes`
Role = Literal["plain", "lead", "note", "caution"]


@dataclass(frozen=True, slots=True)
class Paragraph:
    """`lead` is made to be quoted; `note` says what a number does not tell; `caution` is a caveat."""

    text: str
    role: Role = "plain"


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and what was stated or found under them."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Points:
    """A list of sentences, with what leads into them."""

    lead: str
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph that somebody attached. `content` is base64, ready to stand in a page."""

    id: str
    caption: str
    alt: str
    media_type: str
    width: int
    height: int
    content: str


@dataclass(frozen=True, slots=True)
class Opening:
    """Verdicts, each a bold word and its rest; reasons, each a bold claim and its evidence."""

    verdicts: tuple[tuple[str, str], ...]
    reasons: tuple[tuple[str, str], ...]
    mind: str = ""


@dataclass(frozen=True, slots=True)
class Departure:
    """A region in full: its grades in a line, at most three sentences, and what shows it."""

    title: str
    grades: str
    told: tuple[str, ...]
    figure: Figure | None = None


@dataclass(frozen=True, slots=True)
class Multiples:
    """Figures of one kind at one scale, a print each, under one caption; each is headed by its title."""

    caption: str
    figures: tuple[Figure, ...]


Block = Opening | Departure | Paragraph | Facts | Points | Table | Figure | Multiples | Picture


@dataclass(frozen=True, slots=True)
class Section:
    """`id` is unique in the document: letters, digits and hyphens."""

    id: str
    title: str
    blocks: tuple[Block, ...] = ()
    sections: tuple["Section", ...] = ()


@dataclass(frozen=True, slots=True)
class Document:
    """An appendix. `written` is the one date that differs between two writings of the same archive.

    `findings` holds, as plain JSON, what `drydown weigh --json` says of each session.
    """

    title: str
    subtitle: str
    written: str
    version: str
    sections: tuple[Section, ...]
    findings: tuple[Mapping[str, Any], ...] = ()
    language: str = "en-GB"
    house: str = ""
    paper: str = "a4"  # of a PDF
    amends: str = ""  # digest of the appendix that this one takes the place of
    changes: tuple[str, ...] = field(default=())

    def blocks(self) -> Iterator[Block]:
        """Every block, in reading order."""
        for section in walked(self.sections):
            for block in section.blocks:
                yield block
                yield from () if isinstance(block, Figure) else figures_in(block)


def figures_in(block: Block) -> tuple[Figure, ...]:
    """The figures that a block is, or holds."""
    match block:
        case Figure():
            return (block,)
        case Departure(figure=Figure() as figure):
            return (figure,)
        case Multiples(figures=figures):
            return figures
        case Table(sparks=sparks):
            return tuple(each for each in sparks if each is not None)
    return ()


def walked(sections: tuple[Section, ...]) -> Iterator[Section]:
    """Every section, in reading order."""
    for section in sections:
        yield section
        yield from walked(section.sections)


def plain(value: Any) -> Any:
    """The tree as plain JSON values; each block says of which kind it is."""
    if isinstance(value, tuple | list):
        return [plain(part) for part in value]
    if isinstance(value, Mapping):
        return {key: plain(part) for key, part in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        kind = {} if isinstance(value, Document) else {"kind": type(value).__name__.lower()}
        return kind | {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    return value


def canonical(document: Document) -> str:
    """The document as JSON in one fixed form: sorted keys, no white space, numbers as Python writes them."""
    return json.dumps(
        plain(document), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def harmless(value: Any) -> Any:
    """The same tree with every text made visible: no control character, no override of direction."""
    if isinstance(value, str):
        return visible(value)
    if isinstance(value, tuple):
        return tuple(harmless(part) for part in value)
    if isinstance(value, dict):
        return {visible(str(key)): harmless(part) for key, part in value.items()}
    if isinstance(value, list):
        return [harmless(part) for part in value]
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: harmless(getattr(value, f.name)) for f in fields(value)})
    return value


def as_now(stored: Any) -> Any:
    """Stored content with the names that tables and figures have now; those of drydown 0.1 differ."""
    if isinstance(stored, list):
        return [as_now(part) for part in stored]
    if not isinstance(stored, dict):
        return stored
    value = {name: as_now(part) for name, part in stored.items()}
    match value:
        case {"kind": "table", "caption": title, "columns": heads, "rows": rows, "numeric": right}:
            return {"kind": "table", "title": title, "heads": heads, "rows": rows, "right": right, "note": ""}
        case {"kind": "figure", "caption": title, "series": lines, "rows": row_names}:
            axes = {axis: _axis(value[axis]) for axis in ("x", "y")}
            kept = {name: value[name] for name in ("id", "alt", "zero", "square", "x_range") if name in value}
            return {"kind": "figure", "title": title, "lines": lines, "row_names": row_names} | axes | kept
        case {"kind": "series"}:
            return value | {"kind": "line"}
    return value


def _axis(stored: Mapping[str, Any]) -> str:
    return f"{stored['title']}, {stored['unit']}" if stored["unit"] else str(stored["title"])


def restored(stored: Mapping[str, Any]) -> Document:
    """The document that `canonical` wrote. Raises ValueError for anything else."""
    try:
        now = as_now(stored)
        values = {f.name: now[f.name] for f in fields(Document)}
        sections = tuple(_restored(section) for section in values["sections"])
        changes = tuple(values["changes"])
        findings = tuple(values["findings"])
        return Document(**values | {"sections": sections, "changes": changes, "findings": findings})
    except (KeyError, TypeError) as problem:
        raise ValueError("not the content of an appendix") from problem


def _restored(value: Any) -> Any:
    """A part of the tree; lists become tuples, a dictionary with a kind becomes its dataclass."""
    if isinstance(value, list):
        return tuple(_restored(part) for part in value)
    if isinstance(value, dict):
        kind = _KINDS[value["kind"]]
        return kind(**{name: _restored(part) for name, part in value.items() if name != "kind"})
    return value


_KINDS: Final[Mapping[str, Any]] = {
    kind.__name__.lower(): kind
    for kind in (
        Paragraph,
        Facts,
        Points,
        Table,
        Line,
        Figure,
        Picture,
        Section,
        Opening,
        Departure,
        Multiples,
    )
}
