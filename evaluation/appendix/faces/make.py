"""The faces of a page, cut anew from those that the PDF compiler carries: both forms share their letters.

    uv run --with 'fonttools[woff]' python -m evaluation.appendix.faces.make

Latin, Greek and Cyrillic with the signs that appendices use; without hints, which no screen of today needs.
"""

import struct
from collections.abc import Iterator
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import Any, Final

HERE: Final = Path(__file__).parent
FACES: Final = {
    "Libertinus Serif Regular": "regular",
    "Libertinus Serif Italic": "italic",
    "Libertinus Serif Semibold": "semibold",
}
_RANGES: Final = (
    (0x20, 0x7E),
    (0xA0, 0x17F),
    (0x384, 0x3CE),
    (0x400, 0x45F),
    (0x2010, 0x2015),
    (0x2018, 0x201E),
    (0x2020, 0x2022),
    (0x2026, 0x2026),
    (0x2030, 0x2033),
    (0x2039, 0x203A),
    (0x2070, 0x2071),
    (0x2074, 0x2079),
    (0x2080, 0x2089),
    (0x20AC, 0x20AC),
    (0x2122, 0x2122),
    (0x2190, 0x2193),
    (0x2212, 0x2212),
    (0x2248, 0x2248),
    (0x2260, 0x2260),
    (0x2264, 0x2265),
)
_FULL_NAME: Final = 4  # of the table `name` (OpenType)
_TABLES: Final = range(6, 40)  # how many tables a face has
_MOST: Final = 5_000_000  # bytes of one face


def carried() -> dict[str, bytes]:
    """The faces in the machine code of the PDF compiler, by their full names."""
    spec = find_spec("typst")
    assert spec is not None and spec.submodule_search_locations
    (library,) = Path(spec.submodule_search_locations[0]).glob("_typst*")
    content = library.read_bytes()
    return {name: content[start:end] for name, start, end in _found(content)}


def _found(content: bytes) -> Iterator[tuple[str, int, int]]:
    start = content.find(b"OTTO")
    while start >= 0:
        (count,) = struct.unpack_from(">H", content, start + 4)
        if count in _TABLES:
            records = [struct.unpack_from(">4sIII", content, start + 12 + 16 * k) for k in range(count)]
            size = max(offset + length for _, _, offset, length in records)
            names = [offset for tag, _, offset, _ in records if tag == b"name"]
            if names and size < _MOST:
                yield _name(content, start + names[0]), start, start + size
        start = content.find(b"OTTO", start + 4)


def _name(content: bytes, at: int) -> str:
    _, count, strings = struct.unpack_from(">HHH", content, at)
    for k in range(count):
        platform, _, _, what, length, offset = struct.unpack_from(">6H", content, at + 6 + 12 * k)
        if platform == 3 and what == _FULL_NAME:
            return content[at + strings + offset :][:length].decode("utf-16-be")
    return ""


def cut(face: bytes) -> bytes:
    """The face as WOFF2, with the letters of `_RANGES` alone."""
    from fontTools import subset  # no part of the program

    options = subset.Options()
    options.flavor = "woff2"
    options.hinting = False
    options.layout_features = ["kern", "liga", "lnum", "tnum", "ccmp", "locl", "mark", "mkmk"]
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]  # with copyright and licence
    font: Any = subset.load_font(BytesIO(face), options)
    letters = subset.Subsetter(options)
    letters.populate(unicodes=[code for first, last in _RANGES for code in range(first, last + 1)])
    letters.subset(font)
    made = BytesIO()
    subset.save_font(font, made, options)
    return made.getvalue()


if __name__ == "__main__":
    faces = carried()
    for full, short in FACES.items():
        (HERE / f"libertinus-serif-{short}.woff2").write_bytes(cut(faces[full]))
