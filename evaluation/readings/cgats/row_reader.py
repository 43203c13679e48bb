"""From rows of a table to ids and numbers: fast where a block is clean, else cell by cell."""

from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.plain_text import counted, shortened
from evaluation.readings.cgats import lines
from evaluation.readings.cgats.conditions import of_conditions
from evaluation.readings.cgats.fields import Columns, classify
from evaluation.readings.cgats.numbers import DecimalMarks, is_number, plainly_unquoted, read_block
from evaluation.readings.file_table import ColumnGroup, FileTable, Keyword
from evaluation.readings.run import Array
from evaluation.readings.source import MOST_VALUES, NOTHING_TAKEN, Source

_ROWS_FOR_DIGITS: Final = 50


class RowReader:
    """Takes the rows of one table block by block; `table` returns all of them.

    `ways` are the possible readings of the line of field names; the first row decides between them.
    `separator` is None for text (tabs or blanks, comments after `#`), else the one mark between cells.
    """

    def __init__(
        self,
        source: Source,
        ways: tuple[tuple[str, ...], ...],
        names_at: int,
        marks: DecimalMarks,
        separator: str | None = None,
    ) -> None:
        self.source, self.ways, self.names_at, self.marks = source, ways, names_at, marks
        self.separator = separator
        self.names = ways[0]
        self.columns = Columns()
        self.parts: tuple[ColumnGroup, ...] = ()
        self.empty = 0
        self.may_lack: tuple[int, ...] = ()  # columns where a row may have no number
        self.settled = False
        self.count = 0
        self.decimals = 0
        self.ids: list[str] = []
        self.labels: list[str] = []
        self.numbers: list[int] = []
        self.blocks: list[Array] = []

    def take(self, numbers: list[int], texts: list[str]) -> None:
        """Take rows with their line numbers. Raises FileProblem for the first that does not fit."""
        if not self.settled:
            self._settle(texts[0])
        start = len(self.ids)
        values = self._clean(numbers, texts)
        if values is None:
            del self.ids[start:], self.labels[start:]
            values = self._cell_by_cell(numbers, texts)
        wrong = ~np.isfinite(values) & ~np.isin(self.columns.numeric, self.may_lack)
        if wrong.any():
            row, column = np.argwhere(wrong)[0]
            raise self._no_number(numbers[row], self.columns.numeric[column], f"{values[row, column]}")
        if self.count < _ROWS_FOR_DIGITS and self.columns.lab:
            self._count_digits(texts[: _ROWS_FOR_DIGITS - self.count])
        self.count += len(texts)
        self.numbers += numbers
        self.blocks.append(values)
        if self.count * max(1, len(self.columns.numeric)) > MOST_VALUES:
            raise FileProblem(
                NOTHING_TAKEN,
                where=self.source.line(numbers[-1]),
                expected=f"at most {MOST_VALUES:,} values in a table",
                found="more",
                remedy="Split the file.",
            )

    def table(self, keywords: tuple[Keyword, ...], remarks: tuple[str, ...]) -> FileTable:
        """The table of everything taken so far."""
        values = self.blocks[0] if len(self.blocks) == 1 else np.concatenate(self.blocks)
        self.blocks = []
        return FileTable(
            keywords=keywords,
            names=self.names,
            columns=self.columns,
            ids=tuple(self.ids),
            labels=tuple(self.labels),
            lines=np.array(self.numbers, dtype=np.int64),
            values=values,
            decimals=self.decimals,
            remarks=remarks,
            parts=self.parts,
        )

    def _settle(self, first: str) -> None:
        for way in self.ways:
            self.names, self.empty = way, way.count("")
            if self._aligned(first) is not None:
                break
        else:
            self.names, self.empty = self.ways[0], self.ways[0].count("")
        where = self.source.line(self.names_at) if self.names_at else self.source.name
        parts = [
            ColumnGroup(condition, names, columns)
            for condition, names in of_conditions(self.names).items()
            if (columns := classify(names, where)).measured
        ]
        every = tuple(sorted({index for part in parts for index in part.columns.numeric}))
        self.parts = tuple(replace(part, columns=replace(part.columns, beside=every)) for part in parts)
        self.columns = self.parts[0].columns if self.parts else classify(self.names, where)
        self.may_lack = tuple(index for part in self.parts for index in part.columns.density)
        self.may_lack = self.may_lack or self.columns.density
        self.settled = True

    # --- one row ---------------------------------------------------------------------------------------

    def _aligned(self, line: str) -> list[str] | None:
        """The cells of a row, one for each name, or None where their numbers differ.

        By tabs, if there are any, without empty cells at the end; else by blanks, which show no cell for an
        empty name.
        """
        wanted = len(self.names)
        if self.separator is None:
            line = lines.without_comment(line)
            if "\t" not in line:
                return self._spread(lines.words(line))
        found = lines.cells(line.strip(" "), self.separator or "\t")
        while len(found) > wanted and not found[-1]:
            found.pop()
        if len(found) == wanted and (found[-1] or not self.empty or not self.names[-1]):
            return found
        if self.empty:
            while found and not found[-1]:
                found.pop()
        if self.empty and len(found) == wanted - self.empty:
            return self._spread(found)
        return self._spread(lines.words(line)) if self.separator is None else None

    def _spread(self, found: list[str]) -> list[str] | None:
        if len(found) != len(self.names) - self.empty:
            return None
        if not self.empty:
            return found
        remaining = iter(found)
        return [next(remaining) if name else "" for name in self.names]

    def _cells(self, number: int, line: str) -> list[str]:
        found = self._aligned(line)
        if found is not None:
            return found
        cleaned = lines.without_comment(line) if self.separator is None else line
        by_mark = lines.cells(cleaned.strip(), self.separator or "\t")
        count = len(by_mark) if len(by_mark) > 1 else len(lines.words(cleaned))
        raise FileProblem(
            NOTHING_TAKEN,
            where=self.source.line(number),
            expected=counted(len(self.names) - self.empty, "value"),
            found=str(count),
            remedy="Export the file again, or leave that row out.",
        )

    def _names_of(self, found: list[str], number: int) -> tuple[str, str]:
        label = found[self.columns.name] if self.columns.name is not None else ""
        return (found[self.columns.id] if self.columns.id is not None else label), label

    # --- cell by cell ----------------------------------------------------------------------------------

    def _cell_by_cell(self, numbers: list[int], texts: list[str]) -> Array:
        wanted = self.columns.numeric
        values = np.empty((len(texts), len(wanted)))
        for row, (number, text) in enumerate(zip(numbers, texts, strict=True)):
            found = self._cells(number, text)
            identity, label = self._names_of(found, number)
            self.ids.append(identity)
            self.labels.append(label)
            for index in self.may_lack:
                found[index] = found[index] if is_number(found[index].replace(",", ".")) else "nan"
            values[row] = self._floats([found[index] for index in wanted], number)
        return values

    def _floats(self, found: list[str], number: int) -> list[float]:
        cells, together = found, " ".join(found)
        if "," in together and self.marks.supplied != "point":
            self.marks.comma = self.marks.comma or f"line {number}"
            both = next((at for at, cell in enumerate(found) if "," in cell and "." in cell), None)
            if both is not None:
                raise self._no_number(number, self.columns.numeric[both], found[both])
            cells = [cell.replace(",", ".") for cell in found]
        if "." in together:
            if self.marks.supplied == "comma":
                at = next(at for at, cell in enumerate(found) if "." in cell)
                raise self._no_number(number, self.columns.numeric[at], found[at])
            self.marks.point = self.marks.point or f"line {number}"
        if not together.isascii():
            cells = [cell.replace("−", "-") for cell in cells]  # a typographer's minus
        try:
            if "_" in together or not "".join(cells).isascii():
                raise ValueError
            return [float(cell) for cell in cells]
        except ValueError:
            at = next(at for at, cell in enumerate(cells) if not is_number(cell))
            raise self._no_number(number, self.columns.numeric[at], found[at]) from None

    def _no_number(self, number: int, column: int, found: str) -> FileProblem:
        return FileProblem(
            NOTHING_TAKEN,
            where=self.source.line(number, shortened(self.names[column])),
            expected="a number",
            found=shortened(found) if found else "an empty cell",
            remedy="Measure that patch again, or leave the row out.",
        )

    # --- a clean block ----------------------------------------------------------------------------------

    def _clean(self, numbers: list[int], texts: list[str]) -> Array | None:
        """All numbers in one pass of numpy's reader, or None where any row is not plain enough for it."""
        wanted, total = self.columns.numeric, len(self.names)
        if not wanted:
            return None
        head = wanted[0]
        if any((index or 0) >= head for index in (self.columns.id, self.columns.name)):
            return None
        mark = self.separator or ("\t" if "\t" in texts[0] else None)
        to_the_end = len(wanted) == total - head
        if mark is None and (self.empty or not to_the_end):
            return None  # numpy does not compare the number of cells when columns are chosen
        parts = [lines.headed(row, mark, head) for row in self._bare(texts, mark)]
        if any(len(part) != head + 1 for part in parts):
            return None
        rests = [part[head] for part in parts]
        if '"' in "".join(rests) or not all(map(str.strip, rests)):
            return None
        if not to_the_end and any(rest.count(mark or "") != total - head - 1 for rest in rests):
            return None
        usecols = None if to_the_end else [index - head for index in wanted]
        values, with_comma = read_block(rests, mark, usecols), False
        if values is None and self.separator != "," and self.marks.supplied != "point":
            with_comma = any("," in rest for rest in rests) and not any("." in rest for rest in rests)
            if with_comma:
                values = read_block([rest.replace(",", ".") for rest in rests], mark, usecols)
        if values is None or values.shape != (len(texts), len(wanted)):
            return None
        with_digits = (values != np.floor(values)).any(axis=1)
        if with_digits.any() and not with_comma and self.marks.supplied == "comma":
            return None
        if not self._take_names(parts, mark):
            return None
        if with_digits.any():
            self._note_mark(with_comma, f"line {numbers[int(with_digits.argmax())]}")
        return values

    def _bare(self, texts: list[str], mark: str | None) -> list[str]:
        """Rows without comments and without separators at their end."""
        if self.separator is not None:
            return [text.rstrip(" ") for text in texts]
        rows = [lines.without_comment(text) if "#" in text else text for text in texts]
        return [row.strip(" \t") if mark is None else row.rstrip(" \t") for row in rows]

    def _note_mark(self, comma: bool, place: str) -> None:
        if comma:
            self.marks.comma = self.marks.comma or place
        else:
            self.marks.point = self.marks.point or place

    def _take_names(self, parts: list[list[str]], mark: str | None) -> bool:
        """Take ids and names of a clean block; False where a quote holds more than one cell."""
        for index, into in ((self.columns.id, self.ids), (self.columns.name, self.labels)):
            if index is None:
                continue
            column = [part[index].strip() if mark else part[index] for part in parts]
            if '"' in "".join(column):
                column = [plainly_unquoted(cell) for cell in column]
                if '"' in "".join(column):
                    return False
            into += column
        if self.columns.name is None:
            self.labels += [""] * len(parts)
        if self.columns.id is None:
            self.ids += self.labels[-len(parts) :]
        return True

    def _count_digits(self, texts: list[str]) -> None:
        for text in texts:
            found = self._aligned(text) or []
            for cell in (found[index] for index in self.columns.lab if index < len(found)):
                _, _, digits = cell.lower().partition("e")[0].replace(",", ".").partition(".")
                self.decimals = max(self.decimals, len(digits))
