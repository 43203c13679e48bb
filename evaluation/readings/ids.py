"""Ids on several rows: repeated readings of one patch, or two sheets mixed up in one file."""

from collections.abc import Sequence
from typing import Final

from evaluation.plain_text import shortened
from evaluation.published.limits import limit
from evaluation.readings.run import Array, PatchRef

_SAME_DEVICE: Final = limit("same_id_device")
_SAME_LAB: Final = limit("same_id_lab")
_SAME_REFLECTANCE: Final = limit("same_id_reflectance")


def id_remarks(
    patches: Sequence[PatchRef], device: Array | None, lab: Array | None, spectra: Array | None
) -> list[str]:
    """Remarks on ids whose rows were printed from different values, or measured far apart."""
    repeated = _repeated(patches)
    if not repeated:
        return []
    remarks = []
    measured, same = (spectra, _SAME_REFLECTANCE) if spectra is not None else (lab, _SAME_LAB)
    for values, tolerance, what in (
        (device, _SAME_DEVICE, "different device values"),
        (measured, same, "measured colours far apart"),
    ):
        if values is None:
            continue
        differing = [
            identity
            for identity, rows in repeated.items()
            if (values[rows].max(axis=0) - values[rows].min(axis=0)).max() > tolerance
        ]
        if differing:
            one = f"id {shortened(differing[0], 20)}"
            several = f"{len(differing)} of {len(repeated)} ids that stand on several rows, as {one},"
            remarks.append(f"{f'{one} has' if len(differing) == 1 else f'{several} have'} rows with {what}")
    return remarks


def _repeated(patches: Sequence[PatchRef]) -> dict[str, list[int]]:
    if len({patch.id for patch in patches}) == len(patches):
        return {}
    rows: dict[str, list[int]] = {}
    for row, patch in enumerate(patches):
        rows.setdefault(patch.id, []).append(row)
    return {identity: found for identity, found in rows.items() if len(found) > 1}
