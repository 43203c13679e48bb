"""The appendix as one HTML page: nothing to fetch, nothing to run, its content embedded and sealed."""

import base64
import hashlib
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from importlib.resources import files
from typing import Any, Final

from evaluation.appendix.document import (
    ANNEXE,
    CHANGED,
    Document,
    Picture,
    Points,
    Section,
    canonical,
    plain,
)
from evaluation.appendix.html_blocks import escaped, set_points, set_section
from evaluation.appendix.seal import EMPTY_IN_HTML, sealed

# What the page promises to be, told to the browser: no script, and no font or picture from anywhere else.
_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; "
    "form-action 'none'"
)

_FACES: Final = (("regular", 400, "normal"), ("semibold", 600, "normal"), ("italic", 400, "italic"))
_CONTENTS_FROM: Final = 8  # screens
_LETTERS: Final = 1350  # of an appendix, on a screen of 1200 by 900 pixels: measured on those of the demo


def render(document: Document, css: str = "") -> str:
    """The page. `css` is the style of the house, as `style.safe_css` lets it through; it comes last."""
    return sealed("\n".join(_page(document, css)) + "\n")


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
    yield f"<style>\n{_faces()}{_own_style()}{css}</style>"
    yield "</head>"
    yield "<body>"
    yield "<header>"
    if document.house:
        yield f'<p class="house" dir="auto">{escaped(document.house)}</p>'
    kicker, mark, name = document.title.partition(": ")
    kind = f'<span class="kicker">{escaped(kicker)}<span class="mark">{escaped(mark)}</span></span>'
    yield f'<h1 dir="auto">{kind}{escaped(name)}</h1>'
    yield f'<p dir="auto">{escaped(document.subtitle)}</p>'
    yield f"<p>Written {escaped(document.written)} with drydown {escaped(document.version)}.</p>"
    yield "</header>"
    if screens(document) >= _CONTENTS_FROM:
        yield from _contents(document)
    yield "<main>"
    if document.changes:
        yield from set_points(Points(CHANGED, document.changes))
    for part in document.sections:
        if part.id == ANNEXE:
            yield '<div class="annexe">'
        yield from set_section(part, 2)
    if any(part.id == ANNEXE for part in document.sections):
        yield "</div>"
    yield "</main>"
    yield "<footer>"
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


@cache
def _faces() -> str:
    """The faces as rules, in the page itself."""
    rules = []
    for name, weight, style in _FACES:
        content = (
            files("evaluation.appendix").joinpath("faces", f"libertinus-serif-{name}.woff2").read_bytes()
        )
        source = f"url(data:font/woff2;base64,{base64.b64encode(content).decode('ascii')}) format('woff2')"
        rules.append(
            f'@font-face {{ font-family: "Libertinus Serif"; font-weight: {weight}; font-style: {style}; '
            f"font-display: swap; src: {source}; }}\n"
        )
    return "".join(rules)


def screens(document: Document) -> float:
    """About how many screens of a desktop the page takes, by its letters: figures go with them."""
    return sum(_said(plain(section)) for section in document.sections) / _LETTERS


def _said(value: Any) -> int:
    """The number of letters, those inside figures not counted."""
    match value:
        case str():
            return len(value)
        case {"kind": "figure" | "picture"}:
            return 0
        case dict():
            return sum(map(_said, value.values()))
        case list():
            return sum(map(_said, value))
    return 0


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
