"""Cells to numbers: decimal marks, what counts as a number, and numpy's reader for many at once."""

import numpy as np

from evaluation.readings.run import Array
from evaluation.readings.supplied import DecimalMark, OpenQuestion, OpenQuestions


class DecimalMarks:
    """The decimal marks met in a file. A file that mixes them is not guessed at."""

    def __init__(self, name: str, said: DecimalMark | None) -> None:
        self.name, self.said = name, said
        self.comma = self.point = ""  # where each was first met

    def decide(self) -> None:
        """Raises OpenQuestions when both marks were met and the user has not said what that means."""
        if self.comma and self.point and self.said is None:
            found = f"a comma in {self.comma} and a point in {self.point}"
            raise OpenQuestions(
                self.name, (OpenQuestion("decimal", "one decimal mark", ("point", "comma", "both"), found),)
            )


def read_block(rows: list[str], mark: str | None, usecols: list[int] | None) -> Array | None:
    try:
        return np.loadtxt(rows, delimiter=mark, comments=None, ndmin=2, usecols=usecols)
    except (ValueError, OverflowError):
        return None


def is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return "_" not in cell and cell.isascii()


def plainly_unquoted(cell: str) -> str:
    """The inside of a cell that is one closed quote; anything else unchanged."""
    return cell[1:-1] if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell
