"""Whether an appendix is unchanged since it was written, and if not, what in it was changed."""

import hashlib
import json
import re
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, Final

from evaluation.appendix import seal
from evaluation.appendix.document import CHANGED, as_now, restored
from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.system_words import unread

_LARGEST: Final = 64 << 20  # bytes; an appendix of many sessions stays far below
_FIRST_KEY: Final = b'{"amends":'  # of the content, whose keys are sorted
_STREAM: Final = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
_MOST_TOLD: Final = 12
_NAME_IT: Final = "Name the file that was written, as HTML, Markdown or PDF."
_BEGINNING: Final = ""  # stands for the id of what lies above the first section
_HOLD_TEXT: Final = frozenset(
    {"h1", "h2", "h3", "h4", "h5", "h6", "p", "dt", "dd", "li", "caption", "th", "td", "figcaption"}
)
_APART: Final = frozenset({"svg", "details", "nav", "style", "footer"})


@dataclass(frozen=True, slots=True)
class Checked:
    """The answer. `changes` names what was changed, as far as that can be seen."""

    unchanged: bool
    changes: tuple[str, ...] = ()

    @property
    def what(self) -> str:
        """The answer in words."""
        if self.unchanged:
            return "Unchanged since it was written."
        return f"Changed since it was written: {'; '.join(self.changes)}."


def check_file(path: Path) -> Checked:
    """Compare an appendix with the seal it carries. Raises FileProblem for a file that carries none."""
    try:
        if path.stat().st_size > _LARGEST:
            raise _no_appendix(path, "a much larger file")
        found = path.read_bytes()
        if found.startswith(b"%PDF"):
            return _check_pages(found, path)
        text = found.decode("utf-8")
    except UnicodeDecodeError:
        raise _no_appendix(path, "a file that is no text in UTF-8") from None
    except OSError as problem:
        raise _no_appendix(path, *unread(problem)) from None
    return check(text, path)


def check(text: str, path: Path) -> Checked:
    """As `check_file`, of a text already read."""
    if not seal.carries(text):
        raise _no_appendix(path, "no seal, or more than one")
    if seal.holds(text):
        return Checked(True)
    return Checked(False, tuple(_changes(text)) or ("something that does not show in its text",))


def _check_pages(found: bytes, path: Path) -> Checked:
    """A PDF carries its content; set again by the same template and drawing, it must give the same bytes."""
    streams = _STREAM.findall(found)
    content = _attached(streams, _FIRST_KEY)
    try:
        document = restored(json.loads(content)) if content else None
    except ValueError:
        document = None
    if document is None:
        raise _no_appendix(path, "a PDF without the content of one")
    from evaluation.appendix import pdf  # typst: only a PDF needs it

    same = document.version == _version()
    if same and pdf.render(document).content == found:
        return Checked(True)
    if not same or _attached(streams, pdf.SET_BY) != pdf.set_by():
        raise FileProblem(
            "It was not compared with anything.",
            where=str(path),
            expected=f"pages set by this drydown, {_version()}",
            found=f"pages set by {'another build of ' if same else ''}{document.version}",
            remedy="Look with the one that wrote it, or compare the file with the copy in the archive.",
        )
    return Checked(False, ("the pages are not those that its content gives",))


def _attached(streams: Iterable[bytes], begins: bytes) -> bytes | None:
    """The first stream that begins so, unpacked; or None. A short one is not packed."""
    for stream in streams:
        if stream.startswith(begins):
            return stream
        with suppress(zlib.error):
            if zlib.decompressobj().decompress(stream, len(begins)) == begins:
                return zlib.decompress(stream)
    return None


def _changes(text: str) -> Iterator[str]:
    """Where the text that shows differs from the content that is embedded, section by section."""
    page = _Page()
    page.feed(text)
    if not page.digest:
        yield "somewhere in its text"
        return
    if hashlib.sha256(page.content.encode("utf-8")).hexdigest() != page.digest:
        yield "the findings embedded in the page"
        return
    document = as_now(json.loads(page.content))
    written = {section["id"]: section for section in _sections(document["sections"])}
    told = 0
    for section_id, section in {_BEGINNING: _beginning(document), **written}.items():
        expected, found = Counter(_texts(section)), Counter(page.texts.get(section_id, ()))
        for missing, added in _paired(
            list((expected - found).elements()), list((found - expected).elements())
        ):
            told += 1
            if told <= _MOST_TOLD:
                name = section.get("name") or shortened(section["title"])
                yield f"{name}: {missing} was written, {added} stands there"
    if told > _MOST_TOLD:
        yield f"and {told - _MOST_TOLD} more places"
    yield from (
        f"a section was added: {shortened(name)}" for name in page.texts if name not in (*written, _BEGINNING)
    )


def _beginning(document: Mapping[str, Any]) -> dict[str, Any]:
    """What stands above the first section, in the form of a section."""
    written = f"Written {document['written']} with drydown {document['version']}."
    above = [document["house"]] if document["house"] else []
    blocks = [{"kind": "paragraph", "text": text} for text in (*above, document["subtitle"], written)]
    if document["changes"]:
        blocks.append({"kind": "points", "lead": CHANGED, "items": document["changes"]})
    return {"title": document["title"], "blocks": blocks, "sections": []} | {"name": "beginning"}


def _paired(missing: list[str], added: list[str]) -> Iterator[tuple[str, str]]:
    for index in range(max(len(missing), len(added))):
        yield tuple(  # type: ignore[misc]
            f"“{shortened(side[index])}”" if index < len(side) else "nothing" for side in (missing, added)
        )


def _sections(sections: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for section in sections:
        yield section
        yield from _sections(section["sections"])


def _texts(section: Mapping[str, Any]) -> Iterator[str]:
    """What the page shows of a section, one text an element, without the sections inside it."""
    yield section["title"]
    for block in section["blocks"]:
        match block["kind"]:
            case "opening":
                yield from (word + rest for word, rest in block["verdicts"])
                yield from ([block["mind"]] if block["mind"] else [])
                yield from (f"{claim} {evidence}" for claim, evidence in block["reasons"])
            case "departure":
                yield from (block["title"], block["grades"], *block["told"])
                if block["figure"]:
                    yield _caption(block["figure"])
            case "paragraph":
                yield block["text"]
            case "facts":
                yield from (part for row in block["rows"] for part in row)
            case "points":
                yield f"{block['lead']}:"
                yield from block["items"]
            case "table":
                yield from (block["title"], *block["heads"])
                yield from (cell for row in block["rows"] for cell in row)
            case "figure":
                yield _caption(block)
            case "multiples":
                yield from (f"{each['title']} {each['caption']}".rstrip() for each in block["figures"])
                yield block["caption"]
            case "picture":
                yield block["caption"]


def _caption(figure: Mapping[str, Any]) -> str:
    """The caption of a figure; in pages of earlier versions it also says what the figure shows."""
    if "caption" not in figure:
        return f"{figure['title']}. {figure['alt']}"
    return str(figure["caption"] or f"{figure['title']}.")


@dataclass
class _Open:
    """An element of the page that is being read."""

    tag: str
    apart: int
    parts: list[str] = field(default_factory=list)


class _Page(HTMLParser):
    """What a page shows, section by section, and what is embedded in it."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: dict[str, list[str]] = {}
        self.content = ""
        self.digest = ""
        self._sections: list[str] = []
        self._apart = 0
        self._open: list[_Open] = []
        self._embedded = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        if tag == "section":
            self._sections.append(named.get("id") or "")
            self.texts.setdefault(self._sections[-1], [])
        elif tag == "script" and named.get("id") == "content":
            self._embedded, self.digest = True, named.get("data-digest") or ""
        elif tag in _APART:
            self._apart += 1
        elif tag in _HOLD_TEXT:
            self._open.append(_Open(tag, self._apart))

    def handle_endtag(self, tag: str) -> None:
        if tag == "section" and self._sections:
            self._sections.pop()
        elif tag == "script":
            self._embedded = False
        elif tag in _APART:
            self._apart = max(0, self._apart - 1)
        elif tag in _HOLD_TEXT and self._open and self._open[-1].tag == tag:
            text = "".join(self._open.pop().parts)
            if not self._apart:
                section = self._sections[-1] if self._sections else _BEGINNING
                self.texts.setdefault(section, []).append(text)

    def handle_data(self, data: str) -> None:
        if self._embedded:
            self.content += data
        elif self._open and self._open[-1].apart == self._apart:  # not the words of a curve in a cell
            self._open[-1].parts.append(data)


def _version() -> str:
    from importlib.metadata import version  # 8 ms that other files do without

    return version("drydown")


def _no_appendix(path: Path, found: str, remedy: str = _NAME_IT) -> FileProblem:
    return FileProblem(
        "It was not compared with anything.",
        where=str(path),
        expected="an appendix as drydown wrote it",
        found=found,
        remedy=remedy,
    )
