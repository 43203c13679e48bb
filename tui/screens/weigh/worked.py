"""What Weigh has worked out in a thread, and its caveats as a page to read."""

from collections.abc import Sequence

from evaluation.judgement.opinion import Weighing
from evaluation.telling.figure import Figure as RegionCurve
from evaluation.telling.side_by_side_tables import beside_it
from evaluation.work.bench import Bench
from evaluation.work.sidebyside import sidebyside
from evaluation.work.weigh import curves, weigh
from evaluation.work.write_up import published
from tui.screens.base.slow import Tell
from tui.widgets.lines import Line, wrapped


def weighed(session_id: int, bench: Bench, tell: Tell) -> tuple[Weighing, str, tuple[str, ...]]:
    """The weighing, how it differs from what was written up, and what the print lay side by side with."""
    weighing = weigh.weigh(bench, session_id, tell=tell)
    beside = beside_it(sidebyside.of_prints(bench, [session_id]), session_id)
    return weighing, published.since(bench, weighing), beside


def curves_of(
    session_id: int, region: str, bench: Bench, _progress: object
) -> tuple[str, tuple[RegionCurve, ...]]:
    """The curves of one region; none where they may not be shown."""
    found = curves.of_region(bench, session_id, region)
    return region, found if isinstance(found, tuple) else ()


def caveat_page(caveats: Sequence[str], width: int) -> list[Line]:
    """What limits the result, a paragraph each."""
    lines: list[Line] = [""]
    for caveat in caveats or ("None.",):
        lines += [f"   {row}" for row in wrapped(caveat, width - 6)]
        lines.append("")
    return lines
