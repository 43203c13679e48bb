"""Readings inside an ICC profile: what it was made from, as runs of patches printed unmanaged."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.errors import FileProblem, ProfileProblem, UsageProblem
from evaluation.plain_text import listed, quoted
from evaluation.profile.carried import COLOURS, DEVICE, carried, name_of_data
from evaluation.readings.joined import with_device
from evaluation.readings.run import Array, Run
from evaluation.readings.source import NOTHING_TAKEN, Source
from evaluation.readings.supplied import Supplied

# Reads one source as runs; raises as `detect.read_source`.
Reader = Callable[[Source, Supplied], tuple[Run, ...]]
_HALVES: Final = tuple(signature.decode() for signature in (DEVICE, COLOURS))
_ITS_SOURCE: Final = "Take in the file of readings that the profile was made from."
_DIGITS: Final = 3  # device values are compared as written to three digits


def runs_of_profile(source: Source, supplied: Supplied, read: Reader) -> tuple[Run, ...]:
    """Every run that the tags of a profile carry; the same data in two tags count once.

    A tag that cannot be read is left out with a remark, as long as another can.

    Parameters
    ----------
    source
        The profile.
    supplied
        What the user states about its readings. They were printed unmanaged, whatever is left unsaid.
    read
        What reads one tag.

    Raises
    ------
    FileProblem
        When the profile carries no readings, or none that can be read, or its table of tags is damaged.
    OpenQuestions, UsageProblem
        As `read`; and when the user says that they were printed as a picture.
    """
    try:
        found = carried(bytes(source.data), source.name)
    except ProfileProblem as problem:
        raise FileProblem(
            NOTHING_TAKEN,
            where=problem.where,
            expected=problem.expected,
            found=problem.found,
            remedy=_ITS_SOURCE,
        ) from problem
    if not found:
        raise _nothing_inside(source)
    if supplied.printed_as == "managed":
        raise UsageProblem(
            NOTHING_TAKEN,
            where=source.name,
            expected="readings of a picture, printed through the profile, as you state",
            found="what the profile itself was made from, printed unmanaged",
            remedy="Leave --managed out.",
        )
    supplied = replace(supplied, printed_as="unmanaged")
    problems: list[FileProblem] = []
    by_tag: dict[str, tuple[Run, ...]] = {}
    for each in found:
        try:
            inner = Source(f"{source.name}, tag {quoted(each.tag)}", each.content, source.digest)
            if each.trouble:
                raise _damaged(inner.name, each.trouble)
            by_tag[each.tag] = tuple(_named(run, each.tag, source) for run in read(inner, supplied))
        except FileProblem as problem:
            problems.append(problem)
    runs = _each_once([*_of_halves(by_tag, supplied), *(run for part in by_tag.values() for run in part)])
    if not runs:
        raise problems[0]
    left = tuple(f"left out: {problem.particulars}" for problem in problems)
    return tuple(replace(run, remarks=(*run.remarks, *left)) for run in runs)


def _nothing_inside(source: Source) -> FileProblem:
    named = name_of_data(bytes(source.data), source.name)
    return FileProblem(
        NOTHING_TAKEN,
        where=source.name,
        expected="a profile that carries the readings it was made from",
        found=f"only the name of a registered set of data, {quoted(named)}" if named else "none in its tags",
        remedy=_ITS_SOURCE,
    )


def _damaged(where: str, trouble: str) -> FileProblem:
    return FileProblem(
        NOTHING_TAKEN,
        where=where,
        expected="readings that can be unpacked",
        found=trouble,
        remedy=_ITS_SOURCE,
    )


def _named(run: Run, tag: str, source: Source) -> Run:
    part = f"tag {quoted(tag)}{f', {run.part}' if run.part else ''}"
    return replace(run, part=part, source_name=source.name)


def _of_halves(by_tag: dict[str, tuple[Run, ...]], supplied: Supplied) -> list[Run]:
    """Device values and their colours, kept in two tags, as one table; they are taken out of `by_tag`."""
    halves = [by_tag.get(tag, ()) for tag in _HALVES]
    if not all(halves):
        return []
    device, colours = halves
    printed = next((run for run in device if run.device is not None), None)
    if printed is None or any(run.device is not None for run in colours):
        return []
    joined = [with_device(run, printed, by_order=True) for run in colours if _measured(run)]
    for tag in _HALVES:
        del by_tag[tag]
    part = f"tags {listed([quoted(tag) for tag in _HALVES])}"
    return [replace(run, part=part) for run in joined]


def _measured(run: Run) -> bool:
    return run.spectra is not None or run.lab is not None or run.xyz is not None


def _each_once(runs: Sequence[Run]) -> list[Run]:
    """Runs without those that repeat the patches of another tag under the same condition; spectra win."""
    kept: list[Run] = []
    for run in sorted(runs, key=lambda run: run.spectra is None):
        if not any(_alike(run, other) for other in kept):
            kept.append(run)
    return sorted(kept, key=lambda run: next(i for i, other in enumerate(runs) if other is run))


def _alike(run: Run, other: Run) -> bool:
    if not _measured(run) or run.device is None or other.device is None:
        return False
    same = {run.stated.condition, other.stated.condition}
    return (
        len(same - {None}) < 2
        and run.device.shape == other.device.shape
        and run.part.partition(",")[0] != other.part.partition(",")[0]
        and bool(np.array_equal(_in_order(run), _in_order(other)))
    )


def _in_order(run: Run) -> Array:
    assert run.device is not None
    return np.unique(run.device.round(_DIGITS), axis=0)
