"""Results on standard output: JSON, plain text on a pipe, tables on a terminal. Problems go to the other."""

import contextlib
import json
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from math import isfinite
from typing import TYPE_CHECKING, Any

from evaluation.errors import DrydownError
from evaluation.plain_text import visible

if TYPE_CHECKING:
    from evaluation.telling.table import Table

Progress = Callable[[int, int, str], None]  # done, total, what is being done


class Out:
    """Where a command puts what it found. Text from files and users is made harmless on the way."""

    def __init__(self, *, as_json: bool) -> None:
        self.as_json = as_json
        self.terminal = sys.stdout.isatty()

    def result(self, value: Any) -> None:
        """A result as JSON; control characters inside texts are escaped by the format itself."""
        print(json.dumps(_finite(value), indent=2, ensure_ascii=True, allow_nan=False))

    def line(self, text: str = "") -> None:
        print(visible(text))

    def block(self, text: str) -> None:
        """Several lines of our own making."""
        for line in text.splitlines():
            self.line(line)

    def report(self, blocks: "Iterable[str | Table]") -> None:
        """Sentences and tables, one below the other."""
        for block in blocks:
            if isinstance(block, str):
                self.line(block)
                continue
            if block.title:
                self.line(block.title)
            self.table(block.heads, block.rows, right=block.right)
            if block.note:
                self.line(block.note)

    def template(self, text: str) -> None:
        """A file to be edited, as it is; inside an object where JSON was asked for."""
        if self.as_json:
            self.result({"template": text})
        else:
            self.file(text)

    def file(self, text: str) -> None:
        """What is meant to be kept as a file: UTF-8 wherever it is led to, whatever the terminal speaks."""
        if self.terminal:
            print(text, end="")
        else:
            sys.stdout.flush()
            sys.stdout.buffer.write(text.encode("utf-8", "replace"))
            sys.stdout.buffer.flush()

    def aside(self, text: str) -> None:
        """A remark that is not the result. Where nobody can hear it, it goes unsaid."""
        with contextlib.suppress(OSError, ValueError):
            print(visible(text), file=sys.stderr)

    def progress(self) -> Progress | None:
        """One line that counts, on a terminal only and gone when the work is done; Ctrl+C stops."""
        if not sys.stderr.isatty():
            return None

        def tell(done: int, total: int, what: str) -> None:
            words = "" if done >= total else f"{done * 100 // max(total, 1):3d} %  {visible(what)}"
            print(f"\r{words}\x1b[K", end="", file=sys.stderr, flush=True)

        return tell

    def problem(self, problem: DrydownError) -> None:
        if self.as_json:
            parts = ("what", "where", "expected", "found", "remedy")
            self.result({"problem": {part: getattr(problem, part) for part in parts}})
        self.aside(problem.sentence)

    def table(
        self, heads: Sequence[str], rows: Sequence[Sequence[object]], *, right: Sequence[int] = ()
    ) -> None:
        """Rows under heads; columns whose index is in `right` are set flush right."""
        cells = [[_cell(value) for value in row] for row in rows]
        if self.terminal:
            self._drawn(heads, cells, right)
        else:
            self._aligned(heads, cells, right)

    def _aligned(self, heads: Sequence[str], rows: list[list[str]], right: Sequence[int]) -> None:
        widths = [max(len(row[column]) for row in [list(heads), *rows]) for column in range(len(heads))]
        for row in [list(heads), *rows]:
            print(
                "  ".join(
                    cell.rjust(width) if column in right else cell.ljust(width)
                    for column, (cell, width) in enumerate(zip(row, widths, strict=True))
                ).rstrip()
            )

    def _drawn(self, heads: Sequence[str], rows: list[list[str]], right: Sequence[int]) -> None:
        from rich.console import Console  # only a terminal needs it
        from rich.table import Table
        from rich.text import Text

        table = Table(box=None, pad_edge=False, header_style="bold")
        for column, head in enumerate(heads):
            table.add_column(Text(head), justify="right" if column in right else "left")
        for row in rows:
            table.add_row(*(Text(cell) for cell in row))
        Console(highlight=False).print(table)


def by_keys(left: Mapping[str, Sequence[str]]) -> str:
    """What a form leaves out, by its tables and keys; a table alone where it says nothing.

    >>> by_keys({"ring": ("pick_mid", "faults"), "skin": ("all",)})
    'ring (pick_mid, faults); skin'
    """
    return "; ".join(
        table if tuple(keys) == ("all",) else f"{table} ({', '.join(keys)})" for table, keys in left.items()
    )


def _cell(value: object) -> str:
    if value is None:
        return "-"
    if isinstance(value, float):
        return f"{value:.1f}"
    return visible(str(value))


def _finite(value: Any) -> Any:
    """The same with null for numbers that JSON cannot write: the density of a patch without light, say."""
    if isinstance(value, float):
        return value if isfinite(value) else None
    if isinstance(value, dict):
        return {name: _finite(each) for name, each in value.items()}
    return [_finite(each) for each in value] if isinstance(value, (list, tuple)) else value
