"""The tables of an ISO 28178 text: keywords, field names and rows, whatever the first line holds."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from evaluation.errors import FileProblem
from evaluation.plain_text import counted, shortened
from evaluation.readings.cgats import lines
from evaluation.readings.cgats.numbers import DecimalMarks
from evaluation.readings.cgats.row_reader import RowReader
from evaluation.readings.file_table import FileTable, Keyword
from evaluation.readings.source import (
    EXPORT_AGAIN,
    MOST_FIELDS,
    MOST_KEYWORDS,
    MOST_ROWS,
    MOST_TABLES,
    NOTHING_TAKEN,
    Progress,
    Source,
)
from evaluation.readings.supplied import Supplied

_STANDARD_FIRST_WORDS: Final = ("CGATS.17", "CGATS.5", "ISO28178", "IT8.7/", "CGATS")
# Rows become numbers in blocks small enough to stop between them.
_BLOCK_ROWS: Final = 4_000
_BLOCK_CHARS: Final = 2**21
_KEYWORD_IN_CELLS: Final = re.compile(r"([A-Za-z][\w./]*)([,;])(.*)", re.S)
_SENTINELS: Final = frozenset(("BEGIN_DATA_FORMAT", "END_DATA_FORMAT", "BEGIN_DATA", "END_DATA"))


@dataclass(slots=True)
class _Pending:
    """What was read since the last table."""

    keywords: list[Keyword] = field(default_factory=list)
    format_lines: list[str] | None = None
    format_at: int = 0
    format_chars: int = 0
    remarks: list[str] = field(default_factory=list)


def read_tables(
    source: Source, supplied: Supplied, progress: Progress | None = None
) -> tuple[FileTable, ...]:
    """Every table of the file.

    Raises FileProblem at the first thing that cannot be understood, OpenQuestions for mixed decimal marks.
    """
    return tuple(_Reader(source, supplied).tables(progress))


class _Reader:
    """One pass over the lines; `tables` yields each table at its END_DATA."""

    def __init__(self, source: Source, supplied: Supplied) -> None:
        self.source = source
        self.encoding, encoding_remark = lines.encoding_of(source)
        self.marks = DecimalMarks(source.name, supplied.decimal)
        self.file_remarks = [encoding_remark] if encoding_remark else []
        self.pending = _Pending()
        self.state = "header"
        self.rows: RowReader | None = None
        self.numbers: list[int] = []
        self.texts: list[str] = []
        self.chars = 0
        self.rows_before = 0
        self.names: tuple[tuple[str, ...], ...] = ()
        self.mark: str | None = None
        self.format_at = 0
        self.begin_data_at = 0
        self.first_seen = False
        self.keywords = self.ended = 0

    def tables(self, progress: Progress | None) -> Iterator[FileTable]:
        number = 0
        for block in lines.line_blocks(self.source, self.encoding, progress):
            for line in block:
                number += 1
                if self.state == "data":
                    if (table := self._data_line(number, line)) is not None:
                        yield table
                elif line:
                    self._other_line(number, line)
        self._end_of_file(number)
        self.marks.decide()

    # --- outside the rows -----------------------------------------------------------------------------

    def _other_line(self, number: int, line: str) -> None:
        text = lines.without_comment(line).strip()
        if not text:
            return
        first, rest = _first_word(text)
        word = first.upper()
        if self.state == "format":
            self._format_line(number, word, text)
        elif word == "BEGIN_DATA_FORMAT":
            self.pending.format_lines, self.pending.format_at = [], number
            self.state = "format"
            if rest.strip():
                self._format_line(number, rest.split()[0].upper(), rest.strip())
        elif word == "BEGIN_DATA":
            self._begin_data(number)
            if rest.strip():
                self._data_line(number, rest)
        elif word in _SENTINELS:
            raise self._refused(number, "a keyword or BEGIN_DATA", word)
        else:
            self._keyword(number, first, rest, text)

    def _keyword(self, number: int, first: str, rest: str, text: str) -> None:
        if not self.first_seen:
            self.first_seen = True
            if not rest.strip() and not first.upper().startswith(_STANDARD_FIRST_WORDS):
                self.file_remarks.append(f"the first line is not a standard identifier: {shortened(text)}")
        value = lines.unquoted(rest)
        if lines.open_quote(text):
            self.pending.remarks.append(
                f"line {number}: a quote is not closed; it was taken to end with the line"
            )
        self.pending.keywords.append(Keyword(first.upper(), value, number))
        self.keywords += 1
        if self.keywords > MOST_KEYWORDS:
            raise self._refused(number, f"at most {MOST_KEYWORDS:,} lines outside of tables", "more")

    def _format_line(self, number: int, word: str, text: str) -> None:
        assert self.pending.format_lines is not None
        if word == "END_DATA_FORMAT":
            self.state = "header"
        elif word in _SENTINELS:
            raise self._refused(number, "END_DATA_FORMAT", word)
        else:
            # Blanks at the end may be empty field names; those at the start never are.
            self.pending.format_lines.append(text)
            self.pending.format_chars += len(text) + 1
            if self.pending.format_chars > MOST_FIELDS * 64:
                raise self._refused(number, f"at most {MOST_FIELDS} field names", "more")

    # --- the rows -------------------------------------------------------------------------------------

    def _begin_data(self, number: int) -> None:
        if self.pending.format_lines is not None:
            self.mark = _mark(self.pending.format_lines)
            self.names, self.format_at = (
                _names(self.pending, self.source, self.mark),
                self.pending.format_at,
            )
        elif self.names:
            self.pending.remarks.append("no field names in this table: those of the table before were used")
        else:
            raise self._refused(number, "BEGIN_DATA_FORMAT with field names before the data", "BEGIN_DATA")
        self.rows = RowReader(self.source, self.names, self.format_at, self.marks, self.mark)
        self.begin_data_at = number
        self.state = "data"

    def _data_line(self, number: int, line: str) -> FileTable | None:
        if not line[:1].isdigit():  # as most rows begin
            text = line.lstrip()
            if not text or text[0] == "#":
                return None
            if text[0] in "EeBb" and (word := _first_word(text)[0].upper()) in _SENTINELS:
                if word == "END_DATA":
                    return self._end_data()
                raise self._refused(number, f"END_DATA of the data begun in line {self.begin_data_at}", word)
        self.numbers.append(number)
        self.texts.append(line)
        self.chars += len(line)
        if len(self.texts) >= _BLOCK_ROWS or self.chars > _BLOCK_CHARS:
            self._flush()
        return None

    def _flush(self) -> None:
        assert self.rows
        if self.rows_before + self.rows.count + len(self.texts) > MOST_ROWS:
            raise self._refused(self.numbers[-1], f"at most {MOST_ROWS:,} rows", "more")
        if self.texts:
            self.rows.take(self.numbers, self.texts)
        self.numbers, self.texts, self.chars = [], [], 0

    def _end_data(self) -> FileTable:
        self._flush()
        assert self.rows
        rows, pending = self.rows, self.pending
        where = self.source.line(self.begin_data_at)
        expected = _count(pending, "NUMBER_OF_SETS")
        if expected is not None:
            if rows.count < expected:
                raise FileProblem(
                    NOTHING_TAKEN,
                    where=where,
                    expected=f"{counted(expected, 'row')}, as NUMBER_OF_SETS states",
                    found=f"{rows.count} before END_DATA",
                    remedy="The file was cut or edited; export it again.",
                )
            if rows.count > expected:
                pending.remarks.append(
                    f"NUMBER_OF_SETS states {expected}; there are {rows.count}, and all were read"
                )
        if not rows.count:
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected="at least one row of data",
                found="none before END_DATA",
                remedy=EXPORT_AGAIN,
            )
        self.rows_before += rows.count
        self.ended += 1
        if self.ended > MOST_TABLES:
            raise self._refused(self.begin_data_at, f"at most {MOST_TABLES} tables", "more")
        self.pending, self.rows, self.state = _Pending(), None, "header"
        return rows.table(tuple(pending.keywords), (*self.file_remarks, *pending.remarks))

    def _end_of_file(self, number: int) -> None:
        if self.state == "data":
            assert self.rows
            count = self.rows.count + len(self.texts)
            raise self._refused(
                number,
                f"END_DATA of the data begun in line {self.begin_data_at}",
                f"the end of the file after {counted(count, 'row')}",
            )
        if self.state == "format":
            raise self._refused(number, "END_DATA_FORMAT", "the end of the file")
        if self.pending.format_lines is not None:
            raise self._refused(number, "BEGIN_DATA and rows after the field names", "the end of the file")
        if not self.names:
            raise self._refused(number, "BEGIN_DATA_FORMAT and BEGIN_DATA", "neither")

    def _refused(self, number: int, expected: str, found: str) -> FileProblem:
        remedy = "The file was cut or edited; export it again."
        return FileProblem(
            NOTHING_TAKEN, where=self.source.line(number), expected=expected, found=found, remedy=remedy
        )


def _first_word(text: str) -> tuple[str, str]:
    """The keyword of a line and what follows it; after a comma where a spreadsheet wrote the file."""
    first, *rest = text.split(None, 1)
    if match := _KEYWORD_IN_CELLS.match(text):
        return match[1], match[3].rstrip(match[2] + " \t")
    return first, rest[0] if rest else ""


def _mark(format_lines: list[str]) -> str | None:
    """The comma or semicolon between field names that neither tabs nor blanks separate."""
    for mark in (";", ","):
        if all(mark in line and "\t" not in line and len(lines.words(line)) == 1 for line in format_lines):
            return mark
    return None


def _names(pending: _Pending, source: Source, mark: str | None) -> tuple[tuple[str, ...], ...]:
    """The possible readings of the field names, best first: by tabs, keeping empty names, and by blanks."""
    assert pending.format_lines is not None
    where = source.line(pending.format_at)
    by_blanks = tuple(word for line in pending.format_lines for word in lines.words(line))
    if mark is not None:
        by_blanks = tuple(cell for line in pending.format_lines for cell in lines.cells(line, mark))
        while by_blanks and not by_blanks[-1]:
            by_blanks = by_blanks[:-1]
    ways = [by_blanks]
    if any("\t" in line for line in pending.format_lines):
        by_tabs = tuple(cell for line in pending.format_lines for cell in lines.cells(line.strip()))
        if by_tabs != by_blanks:
            ways.insert(0, by_tabs)
    if not by_blanks or len(ways[0]) > MOST_FIELDS:
        raise FileProblem(
            NOTHING_TAKEN,
            where=where,
            expected=f"1 to {MOST_FIELDS} field names",
            found=str(len(ways[0])) if by_blanks else "none",
            remedy=EXPORT_AGAIN,
        )
    count = _count(pending, "NUMBER_OF_FIELDS")
    if count is not None:
        fitting = [way for way in ways if count in (len(way), len([name for name in way if name]))]
        if fitting:
            # Names that contain blanks, with tabs between them: the count decides which reading is meant.
            ways = [*fitting, *(way for way in ways if way not in fitting)]
        else:
            pending.remarks.append(
                f"NUMBER_OF_FIELDS states {count}, the file has {counted(len(by_blanks), 'field name')}"
            )
    return tuple(ways)


def _count(pending: _Pending, name: str) -> int | None:
    """The last value of a counting keyword, where it is a count."""
    stated = [keyword.value for keyword in pending.keywords if keyword.name == name]
    return int(stated[-1]) if stated and re.fullmatch(r"\d{1,9}", stated[-1], re.ASCII) else None
