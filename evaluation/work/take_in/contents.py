"""What a file holds, before anything is done with it."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from evaluation.errors import FileProblem
from evaluation.profile.carried import carried
from evaluation.profile.icc_facts import is_profile, read_profile
from evaluation.readings import detect, file_facts
from evaluation.readings.source import NOTHING_TAKEN, Source
from evaluation.readings.supplied import Supplied


def contents(path: Path, said: Supplied) -> dict[str, Any]:
    """Facts of a measurement file or an ICC profile as plain JSON values; the first bytes decide which it is.

    Raises FileProblem for any other file and ProfileProblem for a profile that is damaged.
    """
    if is_profile(_beginning(path)):
        return _of_profile(path, said)
    try:
        return file_facts.file_facts(path, said)
    except FileProblem as problem:
        if problem.what != NOTHING_TAKEN:
            raise
        raise FileProblem(  # nobody asked for anything to be taken in
            "What is in it is not known.",
            where=problem.where,
            expected=problem.expected,
            found=problem.found,
            remedy=problem.remedy,
        ) from problem


def _of_profile(path: Path, said: Supplied) -> dict[str, Any]:
    """Facts of a profile, and of the readings it was made from, if it carries any; damage is a warning."""
    found, content = read_profile(path)
    facts = found.document()
    if not carried(content, path.name):
        return facts | {"made_from": None}
    source = Source(path.name, content, "")
    try:
        runs = detect.runs_in(source, replace(said, printed_as="unmanaged"), asking=False)
    except FileProblem as problem:
        told = f"What it was made from cannot be read: {problem.particulars}"
        return facts | {"made_from": None, "warnings": [*facts["warnings"], told]}
    return facts | {"made_from": file_facts.facts_of(runs)}


def _beginning(path: Path) -> bytes:
    """The first bytes of a file; none where it cannot be opened, which the readings tell better."""
    try:
        with path.open("rb") as file:
            return file.read(132)
    except OSError:
        return b""
