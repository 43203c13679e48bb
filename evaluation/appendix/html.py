"""The appendix as one HTML page: nothing to fetch, nothing to run, its content embedded and sealed."""

import hashlib
import html
from collections.abc import Iterator
from dataclasses import replace
from importlib.resources import files
from typing import Final

from evaluation.appendix.document import (
    ANNEXE,
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
    canonical,
)
from evaluation.appendix.drawing import figures
from evaluation.appendix.markdown import numbers
from evaluation.appendix.seal import EMPTY_IN_HTML, sealed
from evaluation.telling.figure import Figure
from evaluation.telling.table import Table

# What the page promises to be, told to the browser: no script, no font, no picture from anywhere.
_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
)


def render(document: Document, css: str = "") -> str:
    """The page. `css` is the style of the house, as `style.safe_css` lets it through; it comes last."""
    return sealed("\n".join(_page(document, css)) + "\n")


def escaped(text: str) -> str:
    """Text for HTML, in element or attribute."""
    return html.escape(text, quote=True)


def _page(document: Document, css: str) -> Iterator[str]:
    yield "<!DOCTYPE html>"
    yield f'<html lang="{escaped(document.language)}">'
    yield "<head>"
    yield '<meta charset="utf-8">'
    yield f'<meta http-equiv="Content-Security-Policy" content="{escaped(_POLICY)}">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield '<meta name="color-scheme" content="light dark">'
    yield f'<meta name="generator" content="drydown {escaped(document.version)}">'
    yield f"<title>{escaped(document.title)}</title>"
    yield f"<style>\n{_own_style()}{css}</style>"
    yield "</head>"
    yield "<body>"
    yield "<header>"
    if document.house:
        yield f'<p class="house" dir="auto">{escaped(document.house)}</p>'
    kicker, mark, name = document.title.partition(": ")
    yield f'<h1 dir="auto"><span class="kicker">{escaped(kicker + mark)}</span>{escaped(name)}</h1>'
    yield f'<p dir="auto">{escaped(document.subtitle)}</p>'
    yield f"<p>Written {escaped(document.written)} with drydown {escaped(document.version)}.</p>"
    yield "</header>"
    if any(section.id == ANNEXE for section in document.sections):  # the article alone is short
        yield from _contents(document)
    yield "<main>"
    if document.changes:
        yield from _points(Points(CHANGED, document.changes))
    for section in document.sections:
        if section.id == ANNEXE:
            yield '<div class="annexe">'
        yield from _section(section, 2)
    if any(section.id == ANNEXE for section in document.sections):
        yield "</div>"
    yield "</main>"
    yield "<footer>"
    yield "<p>Grades: Recommendation ITU-R BT.500. A verdict holds for this print and the use it names.</p>"
    yield f"<p>Seal {EMPTY_IN_HTML}: with it, drydown check tells whether this page was changed.</p>"
    yield "</footer>"
    content = _data(canonical(_without_pictures(document)))
    digest = hashlib.sha256(content.encode("utf-8")).hexdigest()
    yield f'<script type="application/json" id="content" data-digest="{digest}">{content}</script>'
    yield "</body>"
    yield "</html>"


def _without_pictures(document: Document) -> Document:
    """The document with a digest in place of each photograph, which stands in the page itself."""

    def lightened(section: Section) -> Section:
        blocks = tuple(
            replace(block, content=f"sha256 {hashlib.sha256(block.content.encode()).hexdigest()}")
            if isinstance(block, Picture)
            else block
            for block in section.blocks
        )
        return replace(section, blocks=blocks, sections=tuple(map(lightened, section.sections)))

    return replace(document, sections=tuple(map(lightened, document.sections)))


def _own_style() -> str:
    return files("evaluation.appendix").joinpath("templates", "page.css").read_text(encoding="utf-8")


def _data(text: str) -> str:
    """JSON that no HTML parser can take for markup."""
    for char in "<>&\u2028\u2029":
        text = text.replace(char, f"\\u{ord(char):04x}")
    return text


def _contents(document: Document) -> Iterator[str]:
    yield '<nav aria-label="Contents">'
    yield "<ol>"
    for section in document.sections:
        yield f'<li><a href="#{section.id}" dir="auto">{escaped(section.title)}</a>'
        if section.sections:
            yield "<ol>"
            for part in section.sections:
                yield f'<li><a href="#{part.id}" dir="auto">{escaped(part.title)}</a></li>'
            yield "</ol>"
        yield "</li>"
    yield "</ol>"
    yield "</nav>"


def _section(section: Section, level: int) -> Iterator[str]:
    yield f'<section id="{section.id}">'
    yield f'<h{level} dir="auto">{escaped(section.title)}</h{level}>'
    for block in section.blocks:
        yield from _block(block)
    for part in section.sections:
        yield from _section(part, min(level + 1, 6))
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
            yield from _points(block)
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
    yield '<div class="verdicts">'
    yield from (
        f'<p dir="auto"><strong>{escaped(word)}</strong>{escaped(rest)}</p>' for word, rest in block.verdicts
    )
    if block.mind:
        yield f'<p class="mind" dir="auto">{escaped(block.mind)}</p>'
    yield "</div>"
    yield "<ol>"
    yield from (
        f'<li dir="auto"><strong>{escaped(claim)}</strong> {escaped(evidence)}</li>'
        for claim, evidence in block.reasons
    )
    yield "</ol>"
    yield "</div>"


def _departure(block: Departure) -> Iterator[str]:
    """On a phone the heading comes before the figure."""
    yield '<div class="departure">'
    yield f'<h3 dir="auto">{escaped(block.title)}</h3>'
    yield f'<p class="grades">{escaped(block.grades)}</p>'
    yield '<div class="told">'
    yield from (f'<p dir="auto">{escaped(each)}</p>' for each in block.told)
    yield "</div>"
    if block.figure is not None:
        yield from _figure(block.figure)
    yield "</div>"


def _points(block: Points) -> Iterator[str]:
    limits = " limits" if "do not tell" in block.lead else ""
    yield f'<div class="points{limits}">'
    yield f'<p dir="auto">{escaped(block.lead)}:</p>'
    yield "<ul>"
    yield from (f'<li dir="auto">{escaped(item)}</li>' for item in block.items)
    yield "</ul>"
    yield "</div>"


def _table(block: Table) -> Iterator[str]:
    # A wide table scrolls inside its own box, which the keyboard can reach.
    yield f'<div class="table" role="group" tabindex="0" aria-label="{escaped(block.title)}">'
    stacked = len(block.heads) > 2 and 2 * len(block.right) < len(block.heads)
    kind = ' class="narrow"' if len(block.heads) < 3 else ' class="stack"' if stacked else ""
    yield f"<table{kind}>"
    yield f'<caption dir="auto">{escaped(block.title)}</caption>'
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
        cells = [f'<th scope="row" dir="auto"{_numeric(block, 0)}>{escaped(first)}</th>']
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


def _numeric(block: Table, index: int) -> str:
    return ' class="number"' if index in block.right else ""


def _label(block: Table, index: int, stacked: bool) -> str:
    """What a phone writes before a cell, where a table of words becomes lines."""
    return f' data-label="{escaped(block.heads[index])}"' if stacked else ""


def told(figure: Figure) -> str:
    """What stands under a plot: what to see in it, or what it is."""
    return figure.caption or f"{figure.title}."


def _figure(figure: Figure) -> Iterator[str]:
    yield f'<figure id="{figure.id}">'
    yield from _inline(figure)
    yield f'<figcaption id="{figure.id}-caption" dir="auto">{escaped(told(figure))}</figcaption>'
    yield "<details>"
    yield "<summary>Its numbers</summary>"
    yield from _table(numbers(figure))
    yield "</details>"
    yield "</figure>"


def _multiples(block: Multiples) -> Iterator[str]:
    yield '<figure class="multiples">'
    yield '<div class="panels">'
    for figure in block.figures:
        yield f'<figure id="{figure.id}">'
        under = f" {escaped(figure.caption)}" if figure.caption else ""
        yield f'<figcaption dir="auto"><strong>{escaped(figure.title)}</strong>{under}</figcaption>'
        yield from _inline(figure)
        yield "</figure>"
    yield "</div>"
    yield f'<figcaption dir="auto">{escaped(block.caption)}</figcaption>'
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
