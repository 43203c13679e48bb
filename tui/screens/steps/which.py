"""Which screen a step is. Imported when a session is opened: Home needs none of it."""

from evaluation import progress
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import prepare
from tui import keys
from tui.screens.steps.step import StepPage


def page(bench: Bench, session_id: int, where: str, others: tuple[int, ...] = ()) -> StepPage:
    """The screen of a step of a session; "next" is the first step with something to do."""
    step = next_step(bench, session_id) if where == "next" else where
    match step:
        case "describe":
            from tui.screens.steps.describe import Describe

            return Describe(bench, session_id)
        case "prepare":
            from tui.screens.steps.prepare import Prepare

            return Prepare(bench, session_id)
        case "look":
            from tui.screens.look.page import Look

            return Look(bench, session_id)
        case "read":
            from tui.screens.read.page import Read

            return Read(bench, session_id)
        case "weigh":
            from tui.screens.weigh.page import Weigh

            return Weigh(bench, session_id)
        case _:
            from tui.screens.write_up.page import WriteUp

            return WriteUp(bench, session_id, others)


def next_step(bench: Bench, session_id: int) -> str:
    """The key of the step that `progress` names next; Write up when nothing is open."""
    session = log.session(bench, session_id)
    now = bench.now()
    coming = progress.coming(session, sheet_of(bench, session), now, bench.clocks)
    if coming is not None and coming.step == "Prepare" and not prepare.waits_for(session, now, bench.clocks):
        return "look"  # nothing there blocks: the age of the print and the eyes go with the result
    by_name = {name: key for key, name in keys.STEPS.items()}
    return by_name[coming.step] if coming else "write_up"
