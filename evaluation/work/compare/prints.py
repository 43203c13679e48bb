"""Prints on the table for their curves and facts: fetched one by one, through the gate."""

from evaluation.archive import sessions
from evaluation.telling.curves.prints import Print
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.weigh import gathered_of


def fetched(bench: Bench, session_id: int, letter: str, region_id: str | None) -> Print:
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
    return Print(session, sheet, letter, taken, evidence, visible)
