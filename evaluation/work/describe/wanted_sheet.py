"""The test image as a person asks for it, field by field: values as text, choices, what is typed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted
from evaluation.sheet import sizes
from evaluation.sheet.layout import ENCODINGS, FEEDS, Encoding
from evaluation.sheet.request import SheetRequest
from evaluation.work.describe.sheets import NO_SHEET

_ENCODED: Final[Mapping[str, Encoding]] = {
    "sRGB": "srgb",
    "opRGB": "oprgb",
    "eciRGB v2": "ecirgb-v2",
    "ROMM RGB": "romm-rgb",
}
assert tuple(_ENCODED.values()) == ENCODINGS
_SIZES: Final = ("A3+", "A3", "A4", "A2", "Letter", "Tabloid", "17x22in")
_YES: Final = ("yes", "no")
_KINDS: Final = ("colour", "black and white")
_FEEDS: Final = (*FEEDS, "as it lies")
NONE: Final = "none"


@dataclass(frozen=True, slots=True)
class WantedField:
    """One field. `choices` are what a digit chooses; `free`: another text may be typed."""

    name: str
    help: str
    choices: tuple[str, ...] = ()
    free: bool = True


FIELDS: Final = (
    WantedField("size", "Of the sheet you print on; another is typed as 400x600mm.", _SIZES),
    WantedField(
        "resolution", "Pixels per inch that the printer's driver works at.", ("300", "360", "600", "720")
    ),
    WantedField(
        "encoding", "Of the values in the file: one that your pictures have.", tuple(_ENCODED), False
    ),
    WantedField("kind", "Black and white is for a driver's own black-and-white mode.", _KINDS, False),
    WantedField("own picture", "One you know well, or two or three with commas between; each is a region."),
    WantedField("margins", "What the printer leaves unprinted, mm: one number, or top, right, bottom, left."),
    WantedField("roll", "Width of the roll, as 24in; empty for sheets."),
    WantedField(
        "feed",
        "Which way the sheet runs: its longer side along the feed, or across; else as it lies on the roll.",
        _FEEDS,
        False,
    ),
    WantedField(
        "pictures",
        "The program's own: the first drawing at a resolution takes a minute or more, then they are kept.",
        _YES,
        False,
    ),
    WantedField("patch pages", "All patches on pages of their own, for the instrument.", _YES, False),
    WantedField("booth form", "A form on paper, to grade where there is no screen.", _YES, False),
)


def shown(wanted: SheetRequest, name: str) -> str:
    """The value of a field as text."""
    match name:
        case "size":
            names = (each for each in _SIZES if sizes.size_mm(each) == wanted.size_mm)
            return next(names, f"{wanted.size_mm[0]:g} x {wanted.size_mm[1]:g} mm")
        case "resolution":
            return str(wanted.ppi)
        case "encoding":
            return next(text for text, encoding in _ENCODED.items() if encoding == wanted.encoding)
        case "kind":
            return _KINDS[wanted.mono]
        case "own picture":
            return ", ".join(map(str, wanted.pictures)) or NONE
        case "margins":
            return " ".join(f"{margin:g}" for margin in wanted.margins)
        case "roll":
            return f"{wanted.roll_mm:g} mm" if wanted.roll_mm else NONE
        case "feed":
            return wanted.feed or _FEEDS[-1]
        case "pictures":
            return _YES[not wanted.scenes]
        case "patch pages":
            return _YES[not wanted.pages]
    return _YES[not wanted.form]


def asked(wanted: SheetRequest, name: str, text: str) -> SheetRequest:
    """The request with a field as chosen or typed. Raises UsageProblem for what cannot be drawn."""
    text = "" if text.strip() == NONE else text.strip()
    return _TAKES[name](wanted, text).checked()


def _ppi(wanted: SheetRequest, text: str) -> SheetRequest:
    if not text.isdecimal():
        raise UsageProblem(
            NO_SHEET, where="resolution", expected="pixels per inch, as 300", found=quoted(text)
        )
    return replace(wanted, ppi=int(text))


def _pictures(wanted: SheetRequest, text: str) -> SheetRequest:
    """One path, or several with commas between them; a path may hold commas itself."""
    whole = Path(text).expanduser()
    parts = [text] if not text or whole.is_file() else text.split(",")
    paths = tuple(Path(part.strip()).expanduser() for part in parts if part.strip())
    for path in paths:
        if not path.is_file():
            raise UsageProblem(
                NO_SHEET, where="own picture", expected="a picture file", found=quoted(str(path))
            )
    return replace(wanted, pictures=paths)


def _feed(wanted: SheetRequest, text: str) -> SheetRequest:
    return replace(wanted, feed=next((feed for feed in FEEDS if feed == text), None))


def _margins(wanted: SheetRequest, text: str) -> SheetRequest:
    try:
        found = tuple(float(part.replace(",", ".")) for part in text.split())
    except ValueError:
        found = ()
    found = found * 4 if len(found) == 1 else found
    if len(found) != 4:
        raise UsageProblem(
            NO_SHEET, where="margins", expected="one number in mm, or four", found=quoted(text)
        )
    top, right, bottom, left = found
    return replace(wanted, margins=(top, right, bottom, left))


_TAKES: Final[Mapping[str, Callable[[SheetRequest, str], SheetRequest]]] = {
    "size": lambda wanted, text: replace(wanted, size_mm=sizes.size_mm(text)),
    "resolution": _ppi,
    "encoding": lambda wanted, text: replace(wanted, encoding=_ENCODED[text]),
    "kind": lambda wanted, text: replace(wanted, mono=text == _KINDS[1]),
    "own picture": _pictures,
    "margins": _margins,
    "roll": lambda wanted, text: replace(wanted, roll_mm=sizes.roll_mm(text) if text else None),
    "feed": _feed,
    "pictures": lambda wanted, text: replace(wanted, scenes=text == _YES[0]),
    "patch pages": lambda wanted, text: replace(wanted, pages=text == _YES[0]),
    "booth form": lambda wanted, text: replace(wanted, form=text == _YES[0]),
}
