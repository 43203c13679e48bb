"""The paper form for the booth: where each region lies, its questions, and room to answer by hand."""

import json
from collections.abc import Iterable
from importlib.resources import files
from typing import Any, Final

from evaluation.errors import UsageProblem
from evaluation.plain_text import visible
from evaluation.session import part_words
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.sheet.sizes import NAMED

_BLANKS: Final = ("Printer", "Paper", "Observer", "Date")
_VIEWING: Final = "viewing light"
_HOW: Final = (
    "5 imperceptible, 4 perceptible but not annoying, 3 slightly annoying, 2 annoying, 1 very annoying; "
    "5 means you looked for it and did not see it; a sign after a grade (4-) does not count. "
    "Casts: 0 none, 1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta; then 1 just, 2 clear, 3 strong: "
    "21 is yellow, just. Give the numbers of the faults you see. "
    "Leave blank what you did not look at: a dash may mean none. Cross out a region not on your sheet."
)
_DISTANCES: Final = (
    "Hand is 35 to 40 cm, arm 60 to 70 cm, wall one and a half times the diagonal of the print. "
    "Tilt the sheet until no lamp is mirrored in it, except where its reflection is asked for. "
    "Care: do not look into the lamp, least of all into one with ultraviolet; keep paper and "
    "sleeves off hot lamps. The maker's manual decides."
)
_FOOTER: Final = "Type it in by the same codes: drydown grade SESSION --template prints the form to fill in."
_LARGEST: Final = (335.0, 490.0)  # mm: a form on a larger sheet than 13 x 19 in is no form to hold
_COLUMN: Final = 92.0  # mm: about as many letters of 11 pt as read well in a line


def form_pdf(sheet: Sheet, paper: str | None = None) -> bytes:
    """The form as PDF in type of 11 pt, on as many pages as that takes; the same sheet gives the same bytes.

    `paper` is the name of a size ("A4", "Letter"); None for the sheet's own, or A4 where that is too large.
    Raises UsageProblem where the typesetter is not installed.
    """
    try:
        import typst  # 30 MB of library; needed only for this page
    except ImportError:
        raise UsageProblem(
            "The paper form was not written.",
            expected="the package typst, which this machine has no build of",
            remedy="Leave the form out; `drydown grade --template` prints the questions as text.",
        ) from None
    template = files("evaluation.sheet").joinpath("form.typ").read_bytes()
    content = json.dumps(_content(sheet, paper), ensure_ascii=False)
    written: bytes = typst.compile(template, sys_inputs={"form": content})
    return written


def paper_of(sheet: Sheet, paper: str | None) -> tuple[float, float]:
    """Width and height of the form, mm: upright."""
    width, height = sorted(NAMED[paper] if paper else sheet.size_mm)
    if width > _LARGEST[0] or height > _LARGEST[1]:
        width, height = NAMED["A4"]
    return width, height


def _content(sheet: Sheet, paper: str | None) -> dict[str, Any]:
    width, height = sheet.size_mm
    page = paper_of(sheet, paper)
    asked = [question.light for region in sheet.regions for question in region.questions if question.light]
    return {
        "title": _plain(sheet.title),
        "code": _plain(sheet.code),
        "blanks": list(_BLANKS),
        "lights": [_VIEWING, *_all_plain(dict.fromkeys(asked))],
        "how": _HOW,
        "distances": _DISTANCES,
        "page": list(page),
        "columns": max(2, int(page[0] // _COLUMN)),
        "footer": _FOOTER,
        "aspect": width / height,
        "regions": [_region(region) for region in sheet.regions],
    }


def _region(region: SheetRegion) -> dict[str, Any]:
    """Its questions, its faults, then the grade of it as a whole: the order of Look."""
    area = region.area
    return {
        "number": "" if region.number is None else str(region.number),
        "title": _plain(region.title),
        "shows": _plain(region.shows),
        "area": [area.left, area.top, area.width, area.height] if area else None,
        "questions": [_question(question) for question in region.questions if not question.whole_region],
        "faults": _all_plain(region.faults),
        "whole": _question(region.whole) if region.whole else None,
    }


def _question(question: Question) -> dict[str, Any]:
    return {
        "kind": question.answer,
        "ask": _plain(question.ask),
        "note": ", ".join(part for part in (question.distance, _plain(question.light)) if part),
        "parts": _all_plain(part_words(question.parts)),
        "words": "; ".join(f"{grade} {_plain(words)}" for grade, words in question.grades),
    }


def _all_plain(texts: Iterable[str]) -> list[str]:
    return [_plain(text) for text in texts]


def _plain(text: str) -> str:
    """Text from a map with control characters made visible: it is set as data, never as markup."""
    return visible(text)
