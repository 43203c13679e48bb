"""Readings and the list of what was printed, from two tables: joined by id, name, or place with consent."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from evaluation.errors import FileProblem
from evaluation.plain_text import counted
from evaluation.readings.run import PatchRef, Run
from evaluation.readings.source import NOTHING_TAKEN
from evaluation.readings.supplied import OpenQuestion, OpenQuestions

BY_PLACE: Final = "rows of both files in the same order"


def with_device(run: Run, printed: Run, *, by_order: bool = False) -> Run:
    """A run with the device values of a list of patches, its rows and their order unchanged.

    By id, else by name, else by the ids of one and the names of the other: the first way that finds a patch
    of the list for every row. Else by place, where both count alike and the person consented.

    Parameters
    ----------
    run
        Readings. Device values of its own give way.
    printed
        What was printed, with its device values.
    by_order
        The person's consent to join by place.

    Raises
    ------
    OpenQuestions
        Where only the place can join them, and nobody consented to that.
    FileProblem
        Where nothing can.
    """
    assert printed.device is not None
    rows, way = _joined(run, printed)
    if rows is None and by_order and len(run) == len(printed):
        rows, way = [*range(len(run))], "place"
    if rows is None:
        if len(run) == len(printed):
            unnamed = any(all(ref.numbered for ref in each.patches) for each in (run, printed))
            met = "no ids in one of them" if unnamed else "ids that differ"
            found = f"{len(run):,} rows in each, and {met}"
            raise OpenQuestions(_both(run, printed), (OpenQuestion("by_order", BY_PLACE, ("yes",), found),))
        raise FileProblem(
            NOTHING_TAKEN,
            where=_both(run, printed),
            expected="ids or names that both files have, or as many rows in one as in the other",
            found=f"{counted(len(run), 'reading')} and {counted(len(printed), 'patch', 'patches')}, {way}",
            remedy="Name the list that this chart was printed from.",
        )
    patches = tuple(_of_both(ref, printed.patches[row]) for ref, row in zip(run.patches, rows, strict=True))
    told = f"device values from {printed.source_name}, joined by {way}"
    return replace(
        run,
        patches=patches,
        device=printed.device[rows],
        device_space=printed.device_space,
        remarks=(*run.remarks, *printed.remarks, told),
    )


def _both(run: Run, printed: Run) -> str:
    return f"{run.source_name} with {printed.source_name}"


def _of_both(ref: PatchRef, listed: PatchRef) -> PatchRef:
    """A row under its own id and name, and those of the list where it has none."""
    name = ref.name or (listed.name if listed.name != listed.id else "")
    if ref.numbered:
        ref = replace(ref, id=listed.id, numbered=listed.numbered)
    return replace(ref, name=name)


def _joined(run: Run, printed: Run) -> tuple[list[int] | None, str]:
    """The row of the list for each reading and the way they were joined; None and what was met instead."""
    ids, names = [ref.own_id for ref in run.patches], [ref.name for ref in run.patches]
    of_list, by_name = [ref.own_id for ref in printed.patches], [ref.name for ref in printed.patches]
    most = 0
    for way, given, wanted in (
        ("id", ids, of_list),
        ("name", names, by_name),
        ("name", names, of_list),
        ("name", ids, by_name),
    ):
        found = _rows(given, wanted, printed)
        if all(row is not None for row in found):
            return [row for row in found if row is not None], way
        most = max(most, sum(row is not None for row in found))
    return None, f"of which {most:,} can be joined" if most else "with no id or name in common"


def _rows(given: Sequence[str], wanted: Sequence[str], printed: Run) -> list[int | None]:
    """The row of the list for each text, without case and leading zeros; None where none, or several, fit.

    Patches of the list that share a text and their device values are one.
    """
    assert printed.device is not None
    places: dict[str, int] = {}
    for row, text in enumerate(wanted):
        places.setdefault(_spelled(text), row)
    counts = Counter(map(_spelled, wanted))
    doubtful = {
        _spelled(text)
        for row, text in enumerate(wanted)
        if counts[_spelled(text)] > 1
        and (printed.device[row] != printed.device[places[_spelled(text)]]).any()
    }
    keys = map(_spelled, given)
    return [None if not key or key in doubtful else places.get(key) for key in keys]


def _spelled(text: str) -> str:
    text = text.strip().casefold()
    return text.lstrip("0") or text[-1:]
