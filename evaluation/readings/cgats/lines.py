"""From bytes to lines and cells: encodings, line ends, quotes and comments of ISO 28178 text."""

import codecs
import io
import re
from collections.abc import Iterator
from typing import Final

from evaluation.errors import FileProblem
from evaluation.readings.source import CHUNK, EXPORT_AGAIN, LONGEST_LINE, NOTHING_TAKEN, Progress, Source

_BOMS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),  # before UTF-16: its mark begins with the same two bytes
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def encoding_of(source: Source) -> tuple[str, str]:
    """The encoding of a text file, and a remark about it or "".

    A byte order mark decides; otherwise UTF-8 if every byte fits, else Windows-1252. Raises FileProblem for
    binary content.
    """
    data = source.data
    for mark, encoding in _BOMS:
        if data.startswith(mark):
            return encoding, ""
    head = bytes(data[:4096])
    if zeros := head.count(0):
        odd, even = head[1::2].count(0), head[::2].count(0)
        if zeros > len(head) / 4 and min(odd, even) < zeros / 20:
            return ("utf-16-le" if odd > even else "utf-16-be"), "UTF-16 without a byte order mark"
    if 0 in data:
        raise FileProblem(
            NOTHING_TAKEN,
            where=f"{source.name}, byte {data.index(0) + 1}",
            expected="a text file",
            found="binary content",
            remedy="Export the readings as ISO 28178 (CGATS.17) text or CxF3.",
        )
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        for start in range(0, len(data), CHUNK):
            decoder.decode(data[start : start + CHUNK], start + CHUNK >= len(data))
    except UnicodeDecodeError:
        return "windows-1252", "not UTF-8: read as Windows-1252"
    return "utf-8", ""


def line_blocks(source: Source, encoding: str, progress: Progress | None = None) -> Iterator[list[str]]:
    """All lines in order, without their ends (LF, CR LF or CR), a chunk of the file at a time.

    Raises FileProblem for bytes that do not fit the encoding, and for an overlong line.
    """
    # Five byte values are undefined in Windows-1252; no keyword or number contains them.
    errors = "replace" if encoding == "windows-1252" else "strict"
    decoder = io.IncrementalNewlineDecoder(codecs.getincrementaldecoder(encoding)(errors), translate=True)
    total, number, rest = len(source.data), 0, ""
    if progress:
        progress(0, total)
    for start in range(0, total, CHUNK):
        end = min(start + CHUNK, total)
        try:
            text = rest + decoder.decode(bytes(source.data[start:end]), final=end == total)
        except UnicodeDecodeError as problem:
            raise FileProblem(
                NOTHING_TAKEN,
                where=source.line(number + 1),
                expected=f"{encoding.upper().removesuffix('-SIG')} text, as the file begins",
                found="bytes that are not",
                remedy=EXPORT_AGAIN,
            ) from problem
        lines = text.split("\n")
        rest = lines.pop() if end < total else ""
        if len(rest) > LONGEST_LINE or (lines and max(map(len, lines)) > LONGEST_LINE):
            place = next((i for i, line in enumerate(lines) if len(line) > LONGEST_LINE), len(lines))
            raise FileProblem(
                NOTHING_TAKEN,
                where=source.line(number + place + 1),
                expected=f"a line of at most {LONGEST_LINE // 1024} kB",
                found="a longer one",
                remedy="Check that this is a file of readings.",
            )
        number += len(lines)
        if lines:
            yield lines
        if progress:
            progress(end, total)


# A quote opens only where a cell can begin; it ends at the next lone quote or at the end of the line.
_QUOTE_OR_COMMENT: Final = re.compile(r'(?:(?<=\s)|^)"[^"]*(?:""[^"]*)*(?:"|$)|(?:(?<=[\s"])|^)#')
_CELLS: Final = {
    mark: re.compile(rf' *"([^"]*(?:""[^"]*)*)(?:"[^{mark}]*|$)|([^{mark}]*)') for mark in ("\t", ",", ";")
}
_BLANK: Final = ("", " ", "\t")
_WORD: Final = re.compile(r'"([^"]*(?:""[^"]*)*)(?:"|$)|(\S+)')


def without_comment(line: str) -> str:
    """The line up to a `#` that begins a word outside quotes.

    >>> without_comment('CREATED "#5"  # at noon')
    'CREATED "#5"  '
    """
    if '"' not in line:
        at = line.find("#")
        while at > 0 and not line[at - 1].isspace():
            at = line.find("#", at + 1)
        return line if at < 0 else line[:at]
    for match in _QUOTE_OR_COMMENT.finditer(line):
        if match[0] == "#":
            return line[: match.start()]
    return line


def unquoted(text: str) -> str:
    """A value without its quotes; an opening quote that nothing closes ends with the line.

    >>> unquoted('"D50"'), unquoted("\\"D50'"), unquoted("D50")
    ('D50', 'D50', 'D50')
    """
    text = text.strip()
    if not text.startswith('"'):
        return text
    if open_quote(text):
        return text[1:].rstrip("'").strip()
    return text[1:-1].replace('""', '"').strip() if text.endswith('"') else words(text)[0]


def open_quote(line: str) -> bool:
    """Whether a quote opens on this line and is not closed on it."""
    if '"' not in line:
        return False
    quotes = [m[0] for m in _QUOTE_OR_COMMENT.finditer(line) if m[0] != "#"]
    return any(len(quote) == 1 or not quote.endswith('"') or _only_doubled(quote) for quote in quotes)


def _only_doubled(quote: str) -> bool:
    inner = quote[1:]
    return (len(inner) - len(inner.rstrip('"'))) % 2 == 0


def words(line: str) -> list[str]:
    """Cells separated by blanks and tabs, quotes respected.

    >>> words('1  "A 1"\\t12.5')
    ['1', 'A 1', '12.5']
    """
    if '"' not in line:
        return line.split()
    before, _, rest = line.partition('"')
    inside, closed, after = rest.partition('"')
    if closed and '"' not in after and before[-1:] in _BLANK and after[:1] in _BLANK:
        return [*before.split(), inside, *after.split()]  # one quoted cell, as most rows have
    return [m[2] if m[2] is not None else m[1].replace('""', '"') for m in _WORD.finditer(line)]


def cells(line: str, separator: str = "\t") -> list[str]:
    """Cells between single separators, quotes respected; empty cells are kept.

    >>> cells('1\\t"A\\t1"\\t\\t12.5\\t')
    ['1', 'A\\t1', '', '12.5', '']
    """
    if '"' not in line:
        return [cell.strip() for cell in line.split(separator)]
    cell = _CELLS[separator]
    found, place = [], 0
    while place <= len(line):
        match = cell.match(line, place)
        assert match  # the second branch fits anything
        found.append(match[2].strip() if match[2] is not None else match[1].replace('""', '"').strip())
        place = match.end() + 1
    return found


def headed(row: str, mark: str | None, head: int) -> list[str]:
    """The first `head` cells of a row and the rest in one; another number of them where it is not plain."""
    if mark is not None or '"' not in row:
        return row.split(mark, head)
    before, *quoted_cell, after = row.split('"', 2)
    if quoted_cell and '"' not in after and before[-1:] in _BLANK:
        found = [*before.split(), *quoted_cell]  # one, as most such rows have
    elif row.count('"') % 2:
        return []  # nothing closes one of them
    else:
        quoted, _, after = row.rpartition('"')
        found = words(f'{quoted}"')
    plain = len(found) <= head and after[:1] in " \t"
    return [*found, *after.split(None, head - len(found))] if plain else []
