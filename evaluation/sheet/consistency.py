"""What must hold between the parts of a map: unique names, valid references, areas that do not overlap."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from evaluation.keyed import Keyed
from evaluation.sheet.areas import on_sheet, overlaps
from evaluation.sheet.layout import Patch, SheetRegion


def check_consistency(
    top: Keyed,
    named: Mapping[str, str],
    regions: tuple[tuple[Keyed, ...], tuple[SheetRegion, ...]],
    patches: tuple[tuple[Keyed, ...], tuple[Patch, ...]],
) -> None:
    """Note every mistake that no single row shows.

    Parameters
    ----------
    top
        The top table, which collects them.
    named
        The ids that the map gives for paper and black.
    regions, patches
        Each with the tables they were read from, in the same order.
    """
    region_rows, all_regions = regions
    patch_rows, all_patches = patches
    if not all_regions:
        top.note("region", "expected at least one [[region]], found none")
    _unique(region_rows, "id", (region.id for region in all_regions))
    _unique(region_rows, "number", (region.number for region in all_regions))
    _unique(patch_rows, "id", (patch.id for patch in all_patches))
    _check_references(top, named, patch_rows, all_patches, all_regions)
    _check_areas("region", region_rows, all_regions)
    _check_areas("patch", patch_rows, all_patches)
    _check_steps(patch_rows, all_patches)


def _unique(rows: tuple[Keyed, ...], key: str, values: Iterable[object]) -> None:
    seen: dict[object, int] = {}
    for index, value in enumerate(values):
        if value is None or value == "":
            continue
        if value in seen:
            rows[index].note(key, f"{_quoted(value)} is taken by {rows[seen[value]].path(key)}")
        else:
            seen[value] = index


def _check_references(
    top: Keyed,
    named: Mapping[str, str],
    rows: tuple[Keyed, ...],
    patches: tuple[Patch, ...],
    regions: tuple[SheetRegion, ...],
) -> None:
    ids = {patch.id for patch in patches}
    for key, patch_id in named.items():
        if patch_id not in ids:
            top.wrong(key, "the id of a patch of this map", patch_id)
    if len(named) == 2 and named["paper"] == named["black"]:
        top.wrong("black", "another patch than the paper's", named["black"])
    known = {region.id for region in regions}
    for row, patch in zip(rows, patches, strict=True):
        if patch.region and patch.region not in known:
            row.wrong("region", "the id of a region of this map", patch.region)


def _check_areas(key: str, rows: Sequence[Keyed], things: Sequence[SheetRegion | Patch]) -> None:
    placed = [
        (str(index), thing.area) for index, thing in enumerate(things) if thing.area and on_sheet(thing.area)
    ]
    for first, second in overlaps(placed):
        one, other = sorted((int(first), int(second)))
        rows[other].note("area", f"overlaps the area of {key} “{things[one].id}”")


def _check_steps(rows: tuple[Keyed, ...], patches: tuple[Patch, ...]) -> None:
    places = Counter((patch.region, patch.series, patch.step) for patch in patches if patch.step is not None)
    for row, patch in zip(rows, patches, strict=True):
        if patch.step is not None and places[patch.region, patch.series, patch.step] > 1:
            row.note("step", f"{patch.step} occurs more than once in the series “{patch.series}”")


def _quoted(value: object) -> str:
    return f"“{value}”" if isinstance(value, str) else str(value)
