"""The appendix as PDF, set by typst: tagged for screen readers, its content attached as JSON.

Text of users reaches typst as data only; the source is this package's own template. Fonts come with typst,
so that the same document gives the same bytes everywhere.
"""

import base64
import hashlib
import json
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version
from importlib.resources import files
from typing import Any, Final, Literal

from evaluation.appendix.document import CHANGED, Document, Picture, canonical
from evaluation.appendix.drawing import figures
from evaluation.errors import DrydownError
from evaluation.telling.figure import Figure

# Stand-ins for control characters have no glyph in text fonts: ␛ is set as ^[, the caret notation.
_CARETS: Final = {0x2400 + code: "^" + chr(code + 64).replace("\\", "\\\\") for code in range(32)} | {
    0x2421: "^?"
}
_NOT_SET: Final = "The PDF was not made."
SET_BY: Final = b"set by "


@dataclass(frozen=True, slots=True)
class Pages:
    """A PDF. `remark` says in a sentence what a reader of it must know; empty when nothing."""

    content: bytes
    standard: Literal["ua-1", "1.7"]
    remark: str = ""

    @property
    def accessible(self) -> bool:
        """Whether it keeps to PDF/UA-1 (ISO 14289-1)."""
        return self.standard == "ua-1"


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to set the pages; the first that works is taken."""

    own_fonts: bool
    standard: Literal["ua-1", "1.7"]
    remark: str


_WAYS: Final = (
    _Way(own_fonts=True, standard="ua-1", remark=""),
    _Way(
        own_fonts=False,
        standard="ua-1",
        remark="Set with fonts of this computer: the same appendix may look otherwise on another.",
    ),
    _Way(
        own_fonts=True,
        standard="1.7",
        remark="Some letters have no glyph in the fonts at hand and show as boxes; HTML shows them. "
        "This PDF is tagged, but for that reason not PDF/UA-1.",
    ),
)


def render(document: Document) -> Pages:
    """The document as pages.

    Kept to PDF/UA-1 where every letter has a glyph in the fonts that come along; else with the fonts of this
    computer, and where those lack it too, with boxes in its place, which is said. Raises DrydownError where
    typst cannot run or set the pages at all.
    """
    try:
        import typst  # 30 MB of machine code that only a PDF needs
    except ImportError:
        raise DrydownError(
            _NOT_SET,
            where="PDF",
            expected="typst, which sets the pages",
            found="none for this kind of computer",
            remedy="Write it as HTML and print that page from a browser.",
        ) from None
    inputs = _inputs(document)
    source = files("evaluation.appendix").joinpath("templates", "appendix.typ").read_bytes()
    compile_: Any = typst.compile  # its stub binds a type variable that nothing here settles
    problem = ""
    for way in _WAYS:
        try:
            made = compile_(
                source,
                ignore_system_fonts=way.own_fonts,
                sys_inputs=inputs | {"fallback": "no" if way.own_fonts else "yes"},
                pdf_standards=way.standard,
            )
        except typst.TypstError as found:
            problem = found.message
            continue
        return Pages(made, way.standard, way.remark)
    raise DrydownError(
        _NOT_SET,
        where="PDF",
        expected="pages",
        found=problem,
        remedy="Write it as HTML, and send it with this sentence to the maintainers.",
    )


@cache
def set_by() -> bytes:
    """What these pages are set by: a digest of the template, the drawing and the version of typst."""
    here = files("evaluation.appendix")
    drawing = sorted(
        (each for each in here.joinpath("drawing").iterdir() if each.name.endswith(".py")),
        key=lambda each: each.name,
    )
    digest = hashlib.sha256(version("typst").encode())
    for each in (here.joinpath("pdf.py"), here.joinpath("templates", "appendix.typ"), *drawing):
        digest.update(each.read_bytes().replace(b"\r\n", b"\n"))
    return SET_BY + digest.hexdigest().encode()


def _inputs(document: Document) -> dict[str, str]:
    pictures: dict[str, object] = {}
    for block in document.blocks():
        if isinstance(block, Figure):
            pictures[block.id] = figures.svg(block)
        elif isinstance(block, Picture):
            pictures[block.id] = list(base64.b64decode(block.content))
    content = canonical(document)
    return {
        "content": content,
        "document": content.translate(_CARETS),
        "plots": json.dumps(pictures, ensure_ascii=False),
        "changed": CHANGED,
        "set-by": set_by().decode(),
    }
