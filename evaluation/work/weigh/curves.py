"""The curves that explain a region of a session, through the gate."""

from evaluation.archive import sessions
from evaluation.telling.curves import region
from evaluation.telling.figure import Figure
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.gate import Withheld
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.weigh import gathered_of


def of_region(bench: Bench, session_id: int, region_id: str) -> tuple[Figure, ...] | Withheld:
    """The curves of a region, or why they stay out of sight; () where nothing was read."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    if (hidden := gate.withheld(session, sheet, region_id)) is not None:
        return hidden
    taken = read.taken_in(bench, session)
    gathered = gathered_of(bench, session, sheet, taken, weigh.tables(bench))
    if gathered is None or region_id not in gathered.regions:
        return ()
    return region.of_region(gathered.regions[region_id], sheet.region(region_id), session.counting())
