"""Which patch of a sheet each row of a run is: by id, name or values; by order only with consent."""

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np

from evaluation.plain_text import counted, listed, shortened
from evaluation.published.limits import limit
from evaluation.readings.colours import colours
from evaluation.readings.repeat_limits import repeats
from evaluation.readings.run import Array, MatchedBy, Run, Taken
from evaluation.readings.suspect_rows import suspect_rows
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Patch, Sheet

# Half a step of 8 bits, and what rounding to percent adds to it.
VALUE_TOLERANCE: Final = 0.5 / 255 + 0.001
_SAME_PATCH: Final = limit("same_patch_steps") / 255
# Ids of another chart can look the same; values decide.
_LEAST_AGREEMENT: Final = limit("ids_agree_least")

Rows = dict[int, int]  # row -> index of the patch in the map


def match(run: Run, sheet: Sheet, by_order: bool = False) -> Taken:
    """The rows of a run matched to the patches of a sheet; rows without a patch are listed, not dropped.

    Ids are tried first, then names, then the values that were printed: source values of the sheet, or device
    values where the run was printed unmanaged. The kind of match that places most rows is used for all.

    A row whose printed values are not those of the patch of its id or name belongs to another patch and stays
    unmatched. Where a fifth of the patches differ like that the file is of another chart, and its ids or
    names do not count.

    Parameters
    ----------
    run, sheet
        The readings and the sheet they may be of.
    by_order
        The user's consent to match rows by their order instead.

    Raises
    ------
    FileProblem
        When the run holds no usable colour.
    """
    remarks: list[str] = []
    by_values: MatchedBy = "device values" if run.printed_as == "unmanaged" else "source values"
    ids, names = [ref.own_id for ref in run.patches], [ref.name for ref in run.patches]
    of_sheet = [patch.id for patch in sheet.patches]
    kinds: tuple[tuple[MatchedBy, Callable[[], Rows]], ...] = (
        ("id", lambda: _by_text(ids, of_sheet)),
        ("name", lambda: _by_text(names, [patch.name for patch in sheet.patches])),
        # Programs that number the rows themselves keep the ids of a list of patches as names.
        ("name", lambda: _by_text(names, of_sheet)),
        (by_values, lambda: _by_values(run, sheet, remarks)),
    )
    matched_by, rows = kinds[0][0], Rows()
    doubts: list[str] = []  # why a kind of match was rejected
    for kind, find in kinds:
        found = find() if kind == by_values else _checked(find(), kind, run, sheet, doubts)
        if len(found) > len(rows):
            matched_by, rows = kind, found
        if len(rows) == len(run):
            break  # nothing places more than all
    if matched_by != by_values or len(rows) < len(run):
        remarks = [*doubts, *remarks]
    if by_order:
        in_order = {row: row for row in range(min(len(run), len(sheet.patches)))}
        if len(run) != len(sheet.patches):
            remarks.append(
                f"{counted(len(run), 'row')} for {len(sheet.patches)} patches: the rest stay unmatched"
            )
        if others := sum(1 for row, index in rows.items() if in_order.get(row) != index):
            remarks.append(
                f"matched by order; by {matched_by}, {counted(others, 'row')} would be of other patches"
            )
        matched_by, rows = "order", in_order
    elif alike := _only_process_patches(run, sheet, rows):
        doubt = "other charts have patches of these names too"
        remarks.append(f"found of this sheet, by {matched_by} alone: {alike}; {doubt}")
    lab = colours(run).lab_d50
    taken = _taken(run, sheet, rows, matched_by, lab, remarks)
    return replace(taken, remarks=(*remarks, *oddities(taken, sheet)))


def unmatched(taken: Taken, sheet: Sheet) -> Taken:
    """The same readings as those of no patch of the sheet; what was said of their match goes with it."""
    bare = _taken(taken.run, sheet, {}, taken.matched_by, colours(taken.run).lab_d50, ())
    return replace(bare, remarks=oddities(bare, sheet))


def settled(taken: Taken) -> Run:
    """The run with the patch that each row was matched to, ready to be kept."""
    patch_of = {row: patch for patch, rows in taken.matched.items() for row in rows}
    patches = tuple(replace(ref, patch=patch_of.get(row, "")) for row, ref in enumerate(taken.run.patches))
    return replace(taken.run, patches=patches, matched_by=taken.matched_by)


def kept(run: Run, sheet: Sheet) -> Taken:
    """The match of a settled run, as it was: nothing is matched again, and no row is suspected again."""
    index_of = {patch.id: index for index, patch in enumerate(sheet.patches)}
    rows = {row: index_of[ref.patch] for row, ref in enumerate(run.patches) if ref.patch in index_of}
    matched_by = run.matched_by or _most_likely(run, sheet, rows)
    return _taken(run, sheet, rows, matched_by, colours(run).lab_d50, ())


def _most_likely(run: Run, sheet: Sheet, rows: Rows) -> MatchedBy:
    """How a run was matched that does not have it kept: by what is alike in all its rows, else by order."""
    pairs = [(run.patches[row], sheet.patches[index]) for row, index in rows.items()]
    if all(ref.id.casefold() == patch.id.casefold() for ref, patch in pairs):
        return "id"
    if all(ref.name.casefold() in (patch.name.casefold(), patch.id.casefold()) for ref, patch in pairs):
        return "name"
    printed, of_patch = _printed_values(run, sheet)
    if printed is None or any(
        index not in of_patch or np.abs(printed[row] - of_patch[index]).max() > VALUE_TOLERANCE
        for row, index in rows.items()
    ):
        return "order"
    return "device values" if run.printed_as == "unmanaged" else "source values"


def _only_process_patches(run: Run, sheet: Sheet, rows: Rows) -> str:
    """The patches that rows were matched to, if these are process patches and no values bear it out; else "".

    They are T1 to T5, as fields of many charts are that count their strips by letters.
    """
    found = sorted(set(rows.values()))
    if run.device is not None or any(sheet.patches[index].series != "process" for index in found):
        return ""
    return listed([shortened(sheet.patches[index].id, 20) for index in found])


def oddities(taken: Taken, sheet: Sheet) -> tuple[str, ...]:
    """Rows of a matched run that look swapped, shifted or misread, one sentence each."""
    run = taken.run
    index_of = {patch.id: index for index, patch in enumerate(sheet.patches)}
    rows = {row: index_of[patch] for patch, several in taken.matched.items() for row in several}
    found = suspect_rows(run, colours(run).lab_d50, _printed_from(run, sheet, rows))
    return tuple(row.sentence for row in found)


def _taken(
    run: Run, sheet: Sheet, rows: Rows, matched_by: MatchedBy, lab: Array, remarks: Sequence[str]
) -> Taken:
    matched: dict[str, tuple[int, ...]] = {}
    for row, index in sorted(rows.items()):
        patch = sheet.patches[index].id
        matched[patch] = (*matched.get(patch, ()), row)
    return Taken(
        run=run,
        matched=matched,
        matched_by=matched_by,
        unmatched_rows=tuple(row for row in range(len(run)) if row not in rows),
        unmatched_patches=tuple(patch.id for patch in sheet.patches if patch.id not in matched),
        repeats=repeats(lab, matched.values()),
        remarks=tuple(remarks),
    )


def _printed_from(run: Run, sheet: Sheet, rows: Rows) -> Array | None:
    """What each row was printed from: the values beside it, else the aim of its patch; nan for neither."""
    if run.device is not None:
        return run.device
    aims = source_lab(sheet)
    printed = np.full((len(run), 3), np.nan)
    for row, index in rows.items():
        printed[row] = aims[index]
    return printed


def _by_text(given: list[str], wanted: list[str]) -> Rows:
    """Rows by equal text, without case, and without leading zeros where none matches with them."""
    spellings: tuple[Callable[[str], str], ...] = (str.casefold, lambda text: text.casefold().lstrip("0"))
    for spelled in spellings:
        places: dict[str, list[int]] = {}
        for index, text in enumerate(wanted):
            if text:
                places.setdefault(spelled(text.strip()), []).append(index)
        rows = _dealt([spelled(text.strip()) for text in given], places)
        if rows:
            return rows
    return {}


def _dealt(keys: Sequence[Hashable], places: Mapping[Any, list[int]]) -> Rows:
    """Rows to patches of the same key; patches that share a key take turns, in the order of both."""
    met: dict[Hashable, int] = {}
    rows: Rows = {}
    for row, key in enumerate(keys):
        if candidates := places.get(key):
            turn = met.get(key, 0)
            rows[row] = candidates[turn % len(candidates)]
            met[key] = turn + 1
    return rows


def _by_values(run: Run, sheet: Sheet, remarks: list[str]) -> Rows:
    """Rows whose printed values are those of a patch; patches of the same values take turns."""
    printed, of_patch = _printed_values(run, sheet)
    if printed is None or not of_patch:
        return {}
    indices = list(of_patch)
    values = np.array([of_patch[index] for index in indices])
    # Patches with the same values form one place: the lowest index stands for all of them.
    same = np.abs(values[:, None] - values[None]).max(axis=2) <= 1e-6
    stands_for = same.argmax(axis=1)
    places: dict[int, list[int]] = {}
    for place, index in zip(stands_for, indices, strict=True):
        places.setdefault(int(place), []).append(index)
    keys: list[int] = []
    for block in np.array_split(printed, max(1, len(printed) // 2000)):
        distance = np.abs(block[:, None] - values[None]).max(axis=2)
        nearest = distance.argmin(axis=1)
        close = distance[np.arange(len(block)), nearest] <= VALUE_TOLERANCE
        keys += [int(stands_for[place]) if ok else -1 for place, ok in zip(nearest, close, strict=True)]
    rows = _dealt(keys, places)
    if shared := sum(len(group) for group in places.values() if len(group) > 1):
        remarks.append(f"{shared} patches share their values with others; rows were assigned to them in turn")
    return rows


def _printed_values(run: Run, sheet: Sheet) -> tuple[Array | None, dict[int, tuple[float, ...]]]:
    """The values of the rows, and of each patch that they can be compared with, by its index."""
    if run.device is None:
        return None, {}
    channels = run.device.shape[1]
    of_patch = {
        index: values
        for index, patch in enumerate(sheet.patches)
        if (values := _values_of(patch, run)) is not None and len(values) == channels
    }
    return run.device, of_patch


def _values_of(patch: Patch, run: Run) -> tuple[float, ...] | None:
    if run.printed_as == "unmanaged":
        return patch.device
    return patch.source if run.device_space == "RGB" else None


def _checked(rows: Rows, kind: str, run: Run, sheet: Sheet, remarks: list[str]) -> Rows:
    """The rows whose printed values are those of their patch; none where too many differ."""
    printed, of_patch = _printed_values(run, sheet)
    comparable = [(row, index) for row, index in rows.items() if index in of_patch]
    if printed is None or not comparable:
        return rows
    on_sheet = np.array([of_patch[index] for _, index in comparable])
    apart = np.abs(printed[[row for row, _ in comparable]] - on_sheet).max(axis=1)
    differing = [row for (row, _), by in zip(comparable, apart, strict=True) if by > _SAME_PATCH]
    # Counted by patches: one read ten times is no more evidence about the chart than one read once.
    patches, others = {index for _, index in comparable}, {rows[row] for row in differing}
    if others and len(others) >= (1 - _LEAST_AGREEMENT) * len(patches) - 1e-9:
        remarks.append(
            f"not matched by {kind}: {len(others)} of {len(patches)} patches have other values; another chart"
        )
        return {}
    if differing:
        named = ", ".join(shortened(run.patches[row].id, 20) for row in differing[:5])
        more = f" and {len(differing) - 5} more" if len(differing) > 5 else ""
        remarks.append(
            f"rows unmatched because their values are not those of the patch of their {kind}: {named}{more}"
        )
    return {row: index for row, index in rows.items() if row not in set(differing)}
