"""What a file holds, before anything is done with it."""

from pathlib import Path
from typing import Any

from evaluation.readings import contents as readings_contents
from evaluation.readings.said import Said


def contents(path: Path, said: Said) -> dict[str, Any]:
    """Facts of a measurement file as plain JSON values. Raises FileProblem for any other file."""
    return readings_contents.contents(path, said)
