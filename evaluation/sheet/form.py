"""The paper form for the booth: on one page where each region lies, its questions and room to answer."""

import json
from collections.abc import Iterable
from importlib.resources import files
from typing import Any, Final

from evaluation.errors import UsageProblem
from evaluation.plain_text import visible
from evaluation.session import part_words
from evaluation.sheet.layout import Question, Sheet, SheetRegion

_BLANKS: Final = ("Printer", "Paper", "Observer", "Date", "Light")
_HOW: Final = (
    "5 imperceptible, 4 perceptible but not annoying, 3 slightly annoying, 2 annoying, 1 very annoying; "
    "5 means you looked for it and did not see it. "
    "Casts: 0 none, 1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta; then 1 just, 2 clear, 3 strong: "
    "21 is yellow, just. Give the numbers of the faults you see. Leave blank what you did not look at; "
    "cross out a region that is not on your sheet."
)
_FOOTER: Final = (
    "Answer in Look by the same digits, or fill in the grades file, which takes these codes: "
    "drydown grade SESSION --template prints it."
)
# Type sizes, pt, of which the largest that fits on one page is used; project's own choice.
_SIZES: Final = (9.0, 8.5, 8.0, 7.6, 7.3, 7.0, 6.7, 6.4, 6.1, 5.8)


def form_pdf(sheet: Sheet) -> bytes:
    """The form as PDF, in the largest type that one page allows; the same sheet gives the same bytes.

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
    inputs = [{"form": json.dumps(_content(sheet) | {"size": size}, ensure_ascii=False)} for size in _SIZES]
    # Compiled to the smallest pictures, one for each page, only to count the pages.
    fitting = (
        data
        for data in inputs
        if isinstance(typst.compile(template, format="png", ppi=5, sys_inputs=data), bytes)
    )
    written: bytes = typst.compile(template, sys_inputs=next(fitting, inputs[-1]))
    return written


def _content(sheet: Sheet) -> dict[str, Any]:
    width, height = sheet.size_mm
    return {
        "title": _plain(sheet.title),
        "code": _plain(sheet.code),
        "blanks": list(_BLANKS),
        "how": _HOW,
        "footer": _FOOTER,
        "aspect": width / height,
        "regions": [_region(region) for region in sheet.regions],
    }


def _region(region: SheetRegion) -> dict[str, Any]:
    area = region.area
    return {
        "number": "" if region.number is None else str(region.number),
        "title": _plain(region.title),
        "shows": _plain(region.shows),
        "area": [area.left, area.top, area.width, area.height] if area else None,
        "questions": [_question(question) for question in region.questions],
        "faults": _all_plain(region.faults),
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
