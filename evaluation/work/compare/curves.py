"""Curves of several prints laid over each other, for a row that is opened. Gated, session by session.

The first session is the base. Letters stand for the prints, in their order.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from evaluation.archive import sessions
from evaluation.telling.curves import laid_over as lines
from evaluation.telling.curves.prints import PlottedPrint
from evaluation.telling.figure import Figure
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.weigh import gathered_of

LETTERS: Final = "abcdefghijklmnopqrstuvwxyzABCD"


@dataclass(frozen=True, slots=True)
class Laying:
    """The curves of a region, the one that explains it first; `left` says why a print is not among them."""

    region: str
    curves: tuple[Figure, ...]
    left: tuple[str, ...]


def laid_over(bench: Bench, session_ids: Sequence[int], region_id: str) -> Laying:
    """The curves of one region, the prints in their order; the first is the base."""
    prints, left = [], []
    for letter, session_id in zip(LETTERS, session_ids, strict=False):
        found = _fetched(bench, session_id, letter, region_id)
        if found.evidence is None:
            hidden = gate.withheld(found.session, found.sheet, region_id)
            why = "not graded yet" if hidden is not None else "nothing read here"
            left.append(f"session {session_id}: {why}")
        prints.append(found)
    with_readings = [one for one in prints if one.evidence is not None]
    curves: list[Figure] = []
    if with_readings:
        kind = with_readings[0].sheet.region(region_id).kind
        curves += lines.of_kind(kind, with_readings)
    for role in ("paper", "black"):
        if (spectra := lines.spectra(prints, role)) is not None:
            curves.append(spectra)
    return Laying(region_id, tuple(curves), tuple(left))


def _fetched(bench: Bench, session_id: int, letter: str, region_id: str | None) -> PlottedPrint:
    """A session with the evidence of one region (None: of the whole sheet), if that may be shown."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    taken = read.taken_in(bench, session)
    visible = gate.open_regions(session, sheet)
    evidence = None
    if region_id is None or region_id in visible:
        gathered = gathered_of(bench, session, sheet, taken, weigh.tables(bench))
        if gathered is not None:
            evidence = gathered.whole if region_id is None else gathered.regions.get(region_id)
    return PlottedPrint(session, sheet, letter, taken, evidence, visible)
