"""The blocks of an appendix as HTML: a heading, a table, a figure at a time."""

import html
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from evaluation.appendix.document import (
    Block,
    Departure,
    Facts,
    Multiples,
    Opening,
    Paragraph,
    Picture,
    Points,
    Section,
)
from evaluation.appendix.drawing import figures
from evaluation.appendix.markdown import numbers
from evaluation.telling.figure import Figure
from evaluation.telling.table import Table

_SHORT: Final = 24  # rows that stay on one page in print
_SENTENCE: Final = 24  # letters, from which a cell is read and not looked up
_PHONE: Final = 46  # letters of a row of numbers, as many as a phone shows
_BESIDE: Final = 30  # as many as stand in the column of a figure beside its region


def escaped(text: str) -> str:
    """Text for HTML, in element or attribute."""
    return html.escape(text, quote=True)


def set_section(of: Section, level: int) -> Iterator[str]:
    """A section and those within, its heading at `level`."""
    yield f'<section id="{of.id}">'
    yield f'<h{level} dir="auto">{escaped(of.title)}</h{level}>'
    for block in of.blocks:
        yield from _block(block)
    for part in of.sections:
        yield from set_section(part, min(level + 1, 6))
    yield "</section>"


def _block(block: Block) -> Iterator[str]:
    match block:
        case Opening():
            yield from _opening(block)
        case Departure():
            yield from _departure(block)
        case Paragraph():
            role = "" if block.role == "plain" else f' class="{block.role}"'
            yield f'<p{role} dir="auto">{escaped(block.text)}</p>'
        case Facts():
            yield "<dl>"
            for name, value in block.rows:
                yield f'<dt>{escaped(name)}</dt><dd dir="auto">{escaped(value)}</dd>'
            yield "</dl>"
        case Points():
            yield from set_points(block)
        case Table():
            yield from _table(block)
        case Figure():
            yield from _figure(block)
        case Multiples():
            yield from _multiples(block)
        case Picture():
            yield "<figure>"
            yield (
                f'<img src="data:{block.media_type};base64,{block.content}" alt="{escaped(block.alt)}" '
                f'width="{block.width}" height="{block.height}">'
            )
            yield f'<figcaption dir="auto">{escaped(block.caption)}</figcaption>'
            yield "</figure>"


def _opening(block: Opening) -> Iterator[str]:
    yield '<div class="opening">'
    yield f'<div class="verdicts{" many" if len(block.verdicts) > 2 else ""}">'
    yield from (f"<p><strong>{escaped(word)}</strong>{escaped(rest)}</p>" for word, rest in block.verdicts)
    if block.mind:
        yield f'<p class="mind">{escaped(block.mind)}</p>'
    yield "</div>"
    yield "<ol>"
    yield from (
        f"<li><strong>{escaped(claim)}</strong> {escaped(evidence)}</li>" for claim, evidence in block.reasons
    )
    yield "</ol>"
    yield "</div>"


def _departure(block: Departure) -> Iterator[str]:
    """On a phone the heading comes before the figure."""
    yield '<div class="departure">'
    yield f"<h3>{escaped(block.title)}</h3>"
    yield f'<p class="grades">{escaped(block.grades)}</p>'
    yield '<div class="told">'
    yield from (f"<p>{escaped(each)}</p>" for each in block.told)
    yield "</div>"
    if block.figure is not None:
        yield from _figure(block.figure, _BESIDE)
    yield "</div>"


def set_points(block: Points) -> Iterator[str]:
    """A list with what leads into it."""
    limits = " limits" if "do not tell" in block.lead else ""
    yield f'<div class="points{limits}">'
    yield f'<p dir="auto">{escaped(block.lead)}:</p>'
    yield "<ul>"
    yield from (f'<li dir="auto">{escaped(item)}</li>' for item in block.items)
    yield "</ul>"
    yield "</div>"


def _table(block: Table, room: int = _PHONE) -> Iterator[str]:
    # A table of numbers slides inside its own box, which the keyboard can reach; one of words becomes lines.
    stacked = len(block.heads) > 2 and (2 * len(block.right) < len(block.heads) or _tells(block))
    slides = not stacked and _letters(block) > room
    reached = f' tabindex="0" role="group" aria-label="{escaped(block.title)}"' if slides else ""
    yield f'<div class="table{" slides" if slides else ""}"{reached}>'
    kinds = ["narrow"] if len(block.heads) < 3 else ["stack"] if stacked else []
    kinds += ["short"] if len(block.rows) <= _SHORT else []
    yield f'<table class="{" ".join(kinds)}">' if kinds else "<table>"
    yield f"<caption>{escaped(block.title)}</caption>"
    yield "<thead><tr>"
    yield "".join(
        f'<th scope="col"{_numeric(block, index)}>{escaped(name)}</th>'
        for index, name in enumerate(block.heads)
    )
    yield "</tr></thead>"
    yield "<tbody>"
    for place, row in enumerate(block.rows):
        first, *rest = row
        curve = block.sparks[place] if block.sparks else None
        cells = [f'<th scope="row"{_numeric(block, 0)}>{escaped(first)}</th>']
        cells += [
            f'<td dir="auto"{_numeric(block, index)}{_label(block, index, stacked)}>{escaped(cell)}</td>'
            for index, cell in enumerate(rest, 1)
        ]
        if curve is not None:  # its words stand before it
            drawn = figures.svg(curve).replace("<svg ", '<svg aria-hidden="true" class="spark" ', 1)
            cells[-1] = cells[-1].removesuffix("</td>") + f"{drawn}</td>"
        yield f"<tr>{''.join(cells)}</tr>"
    yield "</tbody>"
    yield "</table>"
    yield "</div>"
    if slides:
        yield '<div class="hint" aria-hidden="true"></div>'  # its words stand in the style: no content


def _tells(block: Table) -> bool:
    """Whether a column beside the numbers holds sentences."""
    words = [place for place in range(1, len(block.heads)) if place not in block.right]
    return any(len(row[place]) > _SENTENCE for row in block.rows for place in words)


def _letters(block: Table) -> int:
    """Letters of a row as wide as each column's longest cell, with a gap between columns."""
    return sum(3 + max(map(len, column)) for column in zip(block.heads, *block.rows, strict=True))


def _numeric(block: Table, index: int) -> str:
    return ' class="number"' if index in block.right else ""


def _label(block: Table, index: int, stacked: bool) -> str:
    """What a phone writes before a cell, where a table of words becomes lines."""
    return f' data-label="{escaped(block.heads[index])}"' if stacked else ""


def told(figure: Figure) -> str:
    """What stands under a plot: what to see in it, or what it is."""
    return figure.caption or f"{figure.title}."


def _figure(figure: Figure, room: int = _PHONE) -> Iterator[str]:
    yield f'<figure id="{figure.id}">'
    yield from _inline(figure)
    yield f'<figcaption id="{figure.id}-caption">{escaped(told(figure))}</figcaption>'
    yield "<details>"
    yield "<summary>Its numbers</summary>"
    yield from _table(numbers(figure), room)
    yield "</details>"
    yield "</figure>"


def _multiples(block: Multiples) -> Iterator[str]:
    yield '<figure class="multiples">'
    yield f'<div class="panels{" two" if len(block.figures) < 3 else ""}">'
    for figure in block.figures:
        yield f'<figure id="{figure.id}">'
        under = f" {escaped(figure.caption)}" if figure.caption else ""
        yield f"<figcaption><strong>{escaped(figure.title)}</strong>{under}</figcaption>"
        yield from _inline(figure)
        yield "</figure>"
    yield "</div>"
    yield f"<figcaption>{escaped(block.caption)}</figcaption>"
    yield "<details>"
    yield "<summary>Their numbers</summary>"
    for figure in block.figures:
        yield from _table(replace(numbers(figure), title=figure.title))
    yield "</details>"
    yield "</figure>"


def _inline(figure: Figure) -> Iterator[str]:
    """The drawing, with its caption as its name; the full measure is drawn a second time for a phone."""
    role = f'role="img" aria-label="{escaped(figure.alt)}" '
    wide = figures.size(figure) == "L"
    yield figures.svg(figure).replace("<svg ", f"<svg {role}{'class=wide ' if wide else ''}", 1)
    if wide:
        yield figures.svg(figure, figures.PHONE).replace("<svg ", f"<svg {role}class=phone ", 1)
