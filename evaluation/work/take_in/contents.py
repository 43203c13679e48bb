"""What a file holds, before anything is done with it."""

from pathlib import Path
from typing import Any

from evaluation.errors import FileProblem
from evaluation.profile.icc_facts import is_profile, read_profile
from evaluation.readings import file_facts
from evaluation.readings.source import NOTHING_TAKEN
from evaluation.readings.supplied import Supplied


def contents(path: Path, said: Supplied) -> dict[str, Any]:
    """Facts of a measurement file or an ICC profile as plain JSON values, told apart by their first bytes.

    Raises FileProblem for any other file and ProfileProblem for a profile that is damaged.
    """
    if is_profile(_beginning(path)):
        return read_profile(path)[0].document()
    try:
        return file_facts.file_facts(path, said)
    except FileProblem as problem:
        if problem.what != NOTHING_TAKEN:
            raise
        raise FileProblem(  # nobody asked for anything to be taken in
            "What it holds cannot be told.",
            where=problem.where,
            expected=problem.expected,
            found=problem.found,
            remedy=problem.remedy,
        ) from problem


def _beginning(path: Path) -> bytes:
    """The first bytes of a file; none where it cannot be opened, which the readings tell better."""
    try:
        with path.open("rb") as file:
            return file.read(132)
    except OSError:
        return b""
