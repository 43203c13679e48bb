"""The appendix as Markdown: GitHub-flavoured tables, every text escaped so that it stays text."""

import re
from collections.abc import Iterator, Mapping

from evaluation.appendix.document import (
    CHANGED,
    Block,
    Departure,
    Document,
    Facts,
    Multiples,
    Opening,
    Paragraph,
    Picture,
    Points,
    Section,
)
from evaluation.appendix.seal import EMPTY_IN_MARKDOWN, sealed
from evaluation.telling.figure import Figure
from evaluation.telling.table import Table

# What Markdown, HTML inside it, maths and autolinks could read a meaning into.
_MEANINGFUL = re.compile(r"([\\`*_{}\[\]<>#|~$@^])")
_LINK = re.compile(r"(?i)(:)(//)|(www)(\.)")
_LINE_START = re.compile(r"^(\d{1,9})([.)])(?=\s|$)|^([-+=])")


def render(document: Document, pictures: Mapping[str, str] | None = None) -> str:
    """The document as Markdown, ending in a line break.

    `pictures` gives the path, relative to the file, at which the picture of a figure lies; a figure
    without one is given by what it shows and by its numbers.
    """
    lines = [escaped(document.house), ""] if document.house else []
    lines += [
        f"# {escaped(document.title)}",
        "",
        escaped(document.subtitle),
        "",
        f"Written {escaped(document.written)} with drydown {escaped(document.version)}.",
    ]
    if document.changes:
        lines += ["", *_points(Points(CHANGED, document.changes))]
    for section in document.sections:
        lines += _section(section, 2, pictures or {})
    seal = f"{EMPTY_IN_MARKDOWN}: with it, drydown check tells whether this file was changed."
    lines += ["", "---", "", seal]
    return sealed("\n".join(lines) + "\n")


def escaped(text: str) -> str:
    """Text that a Markdown reader gives back as it is, on one line.

    >>> escaped("a|b <i> *c*")
    'a\\\\|b &lt;i&gt; \\\\*c\\\\*'
    """
    text = " ".join(text.split())
    text = text.replace("&", "&amp;")
    text = _MEANINGFUL.sub(_one, text)
    text = _LINK.sub(lambda found: f"{found[1] or found[3]}\\{found[2] or found[4]}", text)
    return _LINE_START.sub(lambda found: f"{found[1]}\\{found[2]}" if found[1] else f"\\{found[3]}", text)


def _one(found: re.Match[str]) -> str:
    return {"<": "&lt;", ">": "&gt;"}.get(found[0], f"\\{found[0]}")


def _section(section: Section, level: int, pictures: Mapping[str, str]) -> Iterator[str]:
    yield ""
    yield f"{'#' * min(level, 6)} {escaped(section.title)}"
    for block in section.blocks:
        yield ""
        yield from _block(block, pictures)
    for part in section.sections:
        yield from _section(part, level + 1, pictures)


def _block(block: Block, pictures: Mapping[str, str]) -> Iterator[str]:
    match block:
        case Paragraph(role="caution" | "note"):
            yield f"> {escaped(block.text)}"
        case Paragraph(role="lead"):
            yield f"**{escaped(block.text)}**"
        case Paragraph():
            yield escaped(block.text)
        case Opening():
            for word, rest in block.verdicts:
                yield from (f"**{escaped(word)}** {escaped(rest)}", "")
            if block.mind:
                yield from (escaped(block.mind), "")
            for number, (claim, evidence) in enumerate(block.reasons, 1):
                yield f"{number}. **{escaped(claim)}** {escaped(evidence)}"
        case Departure():
            yield from (f"### {escaped(block.title)}", "", f"*{escaped(block.grades)}*")
            for each in block.told:
                yield from ("", escaped(each))
            if block.figure is not None:
                yield ""
                yield from _block(block.figure, pictures)
        case Facts():
            yield from (f"- {escaped(name)}: {escaped(value)}" for name, value in block.rows)
        case Points():
            yield from _points(block)
        case Table():
            yield from _table(block)
        case Multiples():
            for figure in block.figures:
                yield from (f"**{escaped(figure.title)}** {escaped(figure.caption)}".rstrip(), "")
                yield from _figure(figure, pictures.get(figure.id))
                yield ""
            yield f"*{escaped(block.caption)}*"
        case Figure():
            yield from _figure(block, pictures.get(block.id))
        case Picture():
            yield from _picture(block, pictures.get(block.id))


def _points(block: Points) -> Iterator[str]:
    yield f"{escaped(block.lead)}:"
    yield ""
    yield from (f"- {escaped(item)}" for item in block.items)


def _table(block: Table) -> Iterator[str]:
    yield f"*{escaped(block.title)}*"
    yield ""
    yield _row(block.heads)
    yield _row("---:" if column in block.right else "---" for column in range(len(block.heads)))
    yield from (_row(escaped(cell) for cell in row) for row in block.rows)


def _row(cells: "Iterator[str] | tuple[str, ...]") -> str:
    return f"| {' | '.join(cells)} |"


def _figure(figure: Figure, path: str | None) -> Iterator[str]:
    if path:
        yield f"![{escaped(figure.alt)}](<{path}>)"
        yield ""
        yield f"*{escaped(figure.title)}*"
        return
    yield from (f"*{escaped(figure.title)}*", "", escaped(figure.alt), "")
    yield from _table(numbers(figure))


def _picture(picture: Picture, path: str | None) -> Iterator[str]:
    if path:
        yield f"![{escaped(picture.alt)}](<{path}>)"
        yield ""
    yield f"*{escaped(picture.caption)}*"


def numbers(figure: Figure) -> Table:
    """The numbers of a figure as a table: one row a point, in the order of the curves."""
    columns = ("curve", "point", figure.x, figure.y)
    rows = tuple(
        (
            f"{series.name}, {series.label}" if series.label else series.name,
            series.names[index] if series.names else "",
            f"{x:g}",
            f"{y:g}",
        )
        for series in figure.lines
        for index, (x, y) in enumerate(zip(series.x, series.y, strict=True))
    )
    return Table("Its numbers", columns, rows, right=(2, 3))
