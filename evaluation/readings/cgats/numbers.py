"""From cells to numbers: decimal marks, what counts as a number, numpy's reader for many at once."""

import numpy as np

from evaluation.readings.run import Array
from evaluation.readings.supplied import DecimalMark, OpenQuestion, OpenQuestions


class DecimalMarks:
    """The decimal marks met in a file. A file that mixes them is not guessed at."""

    def __init__(self, name: str, supplied: DecimalMark | None) -> None:
        self.name, self.supplied = name, supplied
        self.comma = self.point = ""  # where each was first met

    def decide(self) -> None:
        """Raise OpenQuestions when both marks were met and the user has not stated what they mean."""
        if self.comma and self.point and self.supplied is None:
            found = f"a comma in {self.comma} and a point in {self.point}"
            raise OpenQuestions(
                self.name, (OpenQuestion("decimal", "one decimal mark", ("point", "comma", "both"), found),)
            )


def read_block(rows: list[str], mark: str | None, usecols: list[int] | None) -> Array | None:
    """(n, m) the numbers of rows, `mark` or blanks between cells; None where a cell is not a number."""
    try:
        return np.loadtxt(rows, delimiter=mark, comments=None, ndmin=2, usecols=usecols)
    except (ValueError, OverflowError):
        return None


def is_number(cell: str) -> bool:
    """Whether a cell is a number as files write it: ASCII, without underscores; nan and inf count."""
    try:
        float(cell)
    except ValueError:
        return False
    return "_" not in cell and cell.isascii()


def plainly_unquoted(cell: str) -> str:
    """A cell without its quotes where it is one closed quote; anything else unchanged."""
    return cell[1:-1] if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell
