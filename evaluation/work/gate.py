"""What an observer may be shown. No number of a region leaves `work` before the eye has graded it.

A region is open once its whole-region question has a grade in the newest viewing, or its readings were
shown on purpose (a recorded `reveal`). Regions without questions teach the eye nothing and are always open.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from evaluation.session import Session, Viewing
from evaluation.sheet.layout import Sheet, SheetRegion

if TYPE_CHECKING:
    from evaluation.readings.run import Taken  # numpy, which the way to the first frame does without


@dataclass(frozen=True, slots=True)
class Withheld:
    """Stands in place of a number that must not be shown yet."""

    region: str
    reason: str


def open_regions(session: Session, sheet: Sheet) -> frozenset[str]:
    """Ids of the regions whose readings may be shown now."""
    return frozenset(region.id for region in sheet.regions if is_open(session, region))


def is_open(session: Session, region: SheetRegion) -> bool:
    """Whether the readings of this region may be shown now."""
    whole = region.whole
    if whole is None or was_revealed(session, region.id):
        return True
    viewing = session.viewing
    return viewing is not None and (region.id, whole.id) in viewing.answers


def was_revealed(session: Session, region_id: str) -> bool:
    """Whether the observer of the newest viewing, or whoever asked before any, was shown this region."""
    if region_id in session.revealed:
        return True
    viewing = session.viewing
    return viewing is not None and any(
        region_id in earlier.revealed for earlier in _of_observer(session, viewing)
    )


def withheld(session: Session, sheet: Sheet, region_id: str) -> Withheld | None:
    """The stand-in for a number of this region, or None when it may be shown ("" is no region: open)."""
    for region in sheet.regions:
        if region.id == region_id and not is_open(session, region):
            return Withheld(region_id, f"{region.title} has no grade yet; its readings stay out of sight.")
    return None


def visible_part(session: Session, sheet: Sheet, takens: "Sequence[Taken]") -> "tuple[Taken, ...]":
    """The readings of the patches that may be shown; nothing else goes on."""
    shown = open_regions(session, sheet) | {""}
    region = {patch.id: patch.region for patch in sheet.patches}
    return tuple(
        replace(part, matched={patch: rows for patch, rows in part.matched.items() if region[patch] in shown})
        for part in takens
    )


def another_eye(session: Session, named: str | None) -> bool:
    """Whether who is named to look next did not give the newest grades: these would sway that eye."""
    viewing = session.viewing
    return named is not None and viewing is not None and viewing.observer != named


def _of_observer(session: Session, viewing: Viewing) -> tuple[Viewing, ...]:
    return tuple(earlier for earlier in session.viewings if earlier.observer == viewing.observer)
