"""Plain tables: cells between commas, semicolons, tabs or blanks, with a header known or supplied."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import chain, pairwise
from typing import Final

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.published.limits import limit
from evaluation.readings.cgats import lines
from evaluation.readings.cgats.bands import SHORTEST_NM
from evaluation.readings.cgats.fields import classify, looks_like_header
from evaluation.readings.cgats.numbers import DecimalMarks
from evaluation.readings.cgats.row_reader import RowReader
from evaluation.readings.file_table import FileTable, Keyword
from evaluation.readings.headless import names_supplied, with_lab_spelled_out
from evaluation.readings.illuminants_in_names import without_illuminants
from evaluation.readings.source import EXPORT_AGAIN, MOST_FIELDS, MOST_ROWS, NOTHING_TAKEN, Progress, Source
from evaluation.readings.supplied import Supplied
from evaluation.readings.transposed import is_transposed, read_transposed

_SEPARATORS: Final = ("\t", ";", ",")
_HEAD_LINES: Final = 60  # searched for the header and the separator
_LEAST_BANDS: Final = 10
_MOST_UNEVEN: Final = limit("table_uneven")
_KEYWORD: Final = re.compile(r"^\s*#?\s*([A-Za-z][\w \-]{1,40}?)\s*[:=;,\t]\s*(.+?)[\s;,]*$")
_SEPARATOR_LINE: Final = re.compile(r"sep=(.)\s*", re.I)
_BLOCK_ROWS: Final = 4_000

Numbered = tuple[int, str]


def read_table(source: Source, supplied: Supplied, progress: Progress | None = None) -> FileTable:
    """The one table of a plain file.

    Raises FileProblem at the first thing that cannot be understood, OpenQuestions when nothing states what
    the columns are or which decimal mark is meant, UsageProblem for supplied columns without measured colour.
    """
    encoding, remark = lines.encoding_of(source)
    remarks = [remark] if remark else []
    numbered = _numbered(source, encoding, progress)
    head = [line for _, line in zip(range(_HEAD_LINES), numbered, strict=False)]
    separator = _separator([text for _, text in head])
    corner = _corner(head, separator)
    names, at, keywords = _header(head, separator, of_list=corner is None)
    marks = DecimalMarks(source.name, supplied.decimal)
    if names:
        rows = [line for line in head if line[0] > at]
    elif corner is not None:
        number, text = head[corner]
        below = ((line[0], _split(line[1], separator)) for line in chain(head[corner + 1 :], numbered))
        before = tuple(keyword for keyword in keywords if keyword.line < number)
        table = read_transposed(source, _split(text, separator), number, below, before, marks)
        return replace(table, remarks=(*remarks, *table.remarks))
    else:
        _refuse_what_is_no_table(source, head, separator)
        cells = [_split(text, separator) for _, text in head if not text.lstrip().startswith("#")]
        names, at, keywords = names_supplied(source, supplied, cells, head[0][0]), 0, []
        rows = _without_unknown_header(head, names, separator, remarks)
    reader = RowReader(source, (names,), at, marks, separator if separator in (",", ";") else None)
    for block in _blocks(chain(rows, numbered)):
        if reader.count + len(block) > MOST_ROWS:
            raise FileProblem(
                NOTHING_TAKEN,
                where=source.line(block[-1][0]),
                expected=f"at most {MOST_ROWS:,} rows",
                found="more",
                remedy="Split the file.",
            )
        reader.take([number for number, _ in block], [text for _, text in block])
    if not reader.count:
        raise FileProblem(
            NOTHING_TAKEN,
            where=source.line(max(at, 1)),
            expected="at least one row of data after the header",
            found="none",
            remedy=EXPORT_AGAIN,
        )
    marks.decide()
    return reader.table(tuple(keywords), tuple(remarks))


def _corner(head: list[Numbered], separator: str | None) -> int | None:
    """The index of the first line that begins a transposed table, if one does."""
    cells = [_split(text, separator) for _, text in head]
    return next((at for at, (one, two) in enumerate(pairwise(cells)) if is_transposed(one, two)), None)


def _numbered(source: Source, encoding: str, progress: Progress | None) -> Iterator[Numbered]:
    """Lines that are not blank, with their numbers."""
    number = 0
    for block in lines.line_blocks(source, encoding, progress):
        for line in block:
            number += 1
            if line.strip(" \t;,"):
                yield number, line


def _blocks(rows: Iterator[Numbered]) -> Iterator[list[Numbered]]:
    block: list[Numbered] = []
    for row in rows:
        if row[1].lstrip().startswith("#"):
            continue
        block.append(row)
        if len(block) >= _BLOCK_ROWS:
            yield block
            block = []
    if block:
        yield block


def _separator(texts: list[str]) -> str | None:
    """The mark that splits most lines into the same number of cells, at least two; None for blanks."""
    if texts and (named := _SEPARATOR_LINE.fullmatch(texts[0])) and named[1] in _SEPARATORS:
        return named[1]
    best: tuple[int, str | None] = (0, None)
    for mark in _SEPARATORS:
        counts = Counter(len(lines.cells(text, mark)) for text in texts if mark in text)
        if counts:
            cells, often = counts.most_common(1)[0]
            # Decimal commas make as many cells in every row as separators do: the earlier mark wins.
            if cells > 1 and often > best[0]:
                best = (often, mark)
    return best[1]


def _split(text: str, separator: str | None) -> tuple[str, ...]:
    found = lines.words(text) if separator is None else lines.cells(text.strip(" \r"), separator)
    while found and not found[-1]:
        found.pop()
    return tuple(found)


def _header(
    head: list[Numbered], separator: str | None, *, of_list: bool
) -> tuple[tuple[str, ...], int, list[Keyword]]:
    """Names, the number of their line and the lines above as keywords; empty where no line is a header.

    `of_list`: names of device values alone make one too.
    """
    keywords: list[Keyword] = []
    for number, text in head:
        bare, stated = without_illuminants(_split(text.lstrip("#"), separator))
        names = with_lab_spelled_out(bare)
        if (
            1 < len(names) <= MOST_FIELDS
            and _can_be_names(names)
            and looks_like_header(names, of_list=of_list)
        ):
            return names, number, keywords + [Keyword(*each, number) for each in stated.items()]
        if match := _KEYWORD.match(text):
            name = re.sub(r"[\s\-]+", "_", match[1].strip()).upper()
            keywords.append(Keyword(name, lines.unquoted(match[2]), number))
    return (), 0, keywords


def _can_be_names(names: tuple[str, ...]) -> bool:
    """Whether cells can be names: words, or numbers that are the evenly spaced wavelengths of a spectrum."""
    values = [float(name) for name in names if _is_number(name) and "," not in name]
    if not values:
        return not any(_is_number(name) for name in names)
    steps = {round(after - before, 6) for before, after in pairwise(values)}
    return len(values) >= _LEAST_BANDS and len(steps) == 1 and min(steps) > 0 and values[0] >= SHORTEST_NM


def _refuse_what_is_no_table(source: Source, head: list[Numbered], separator: str | None) -> None:
    """Raise FileProblem unless most lines hold the same number of cells, and half of them numbers."""
    rows = [_split(text, separator) for _, text in head]
    counts = Counter(len(row) for row in rows)
    cells, often = counts.most_common(1)[0] if counts else (0, 0)
    with_numbers = sum(1 for row in rows if sum(map(_is_number, row)) >= 3)
    if cells < 3 or often < len(rows) * (1 - _MOST_UNEVEN) or with_numbers * 2 < len(rows):
        raise FileProblem(
            NOTHING_TAKEN,
            where=source.line(head[0][0] if head else 1),
            expected="a table of readings",
            found=f"other text: {shortened(head[0][1].strip(), 40)}" if head else "nothing",
            remedy="Export the readings as ISO 28178 (CGATS.17) text or CxF3.",
        )


def _without_unknown_header(
    head: list[Numbered], names: tuple[str, ...], separator: str | None, remarks: list[str]
) -> list[Numbered]:
    """The rows among the first lines, without a first line of words where the columns hold numbers."""
    rows = [line for line in head if not line[1].lstrip().startswith("#")]
    if rows and _SEPARATOR_LINE.fullmatch(rows[0][1]):
        rows = rows[1:]
    wanted = classify(names, "").numeric
    if rows:
        cells = _split(rows[0][1], separator)
        if len(cells) >= len(names) and not any(_is_number(cells[index]) for index in wanted):
            remarks.append(f"line {rows[0][0]} was taken as a header")
            return rows[1:]
    return rows


def _is_number(text: str) -> bool:
    return bool(re.fullmatch(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?", text, re.ASCII))
