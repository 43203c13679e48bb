"""Weigh: eye and instrument side by side, region by region, and the verdict. Worked out in a thread."""

from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any

from evaluation.judgement.opinion import Finding, Weighing
from evaluation.telling.figure import Figure as RegionCurve
from evaluation.work.bench import Bench
from evaluation.work.look import look
from evaluation.work.say import Step
from evaluation.work.weigh import curves, weigh
from evaluation.work.write_up import published
from tui.screens import weigh_lines
from tui.screens.step import StepPage
from tui.screens.text import TextPage
from tui.widgets.lines import Line
from tui.widgets.part import Lines, Part
from tui.widgets.rows import Rows


class Weigh(StepPage):
    """Table above; below it the row under the cursor in words, or opened with its curve."""

    PAGE = "weigh"
    TEXT = (
        "Eye and instrument on one ruler: the distance between E and I is their disagreement. Enter opens a "
        "region with the curve that explains it; f chooses what the print is for; v lists what goes with it."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.weighing: Weighing | None = None
        self.caveats: tuple[str, ...] = ()  # of the weighing, and first what it was written up as
        self.use: str = self.session.condition.made_for or "general"
        self.opened = False
        self.causes = False
        self.other = 0
        self.curves: dict[str, tuple[RegionCurve, ...]] = {}

    def body(self) -> Iterator[Part]:
        yield Lines("heading", height=2)
        yield Rows("findings", height=10, moved=self.moved, chosen=self.action_enter)
        yield Lines("below")

    def on_mount(self) -> None:
        self._weigh()

    def _weigh(self) -> None:
        self.curves.clear()
        self.tell("Weighing.")
        self.start_job("weighing", partial(_weighed, self.session_id))

    def done(self, job: str, value: Any) -> None:
        if job == "weighing":
            self.weighing, since = value
            self.caveats = (since, *self.weighing.caveats) if since else self.weighing.caveats
            if self.said == "Weighing.":
                own = any(path.startswith("anchors.") for path in weigh.tables(self.bench).overridden)
                note = weigh_lines.OWN if own else weigh_lines.NOTE
                self.said = weigh_lines.OTHERWISE if since else note
            self._show_rows()
        else:
            region, found = value
            self.curves[region] = found
        self.refresh_page()

    def _show_rows(self) -> None:
        count = len(self.weighing.findings) if self.weighing else 0
        self.list_here.show(self._rows, count)

    def disagree(self) -> int | None:
        if self.weighing is None:
            return None
        return sum(finding.agreement == "disagree" for finding in self.weighing.findings)

    def foot_state(self) -> str:
        return "weigh.row" if self.opened else "weigh"

    @property
    def tall(self) -> bool:
        """Whether the table stays above an opened row."""
        return self.size.width >= 118 and self.size.height >= 34

    @property
    def finding(self) -> Finding | None:
        row = self.list_here.cursor
        return self.weighing.findings[row] if self.weighing and row < len(self.weighing.findings) else None

    # Drawing ----------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        width = self.size.width
        alone = self.opened and not self.tall
        rows = self.list_here
        rows.shown = not alone
        rows.height = min(10, max(1, rows.count))
        self.one("heading").shown = not alone
        self.one("heading").show(["", weigh_lines.heading(width)] if self.weighing else [""])
        rows.reload()
        self._below()

    def _rows(self, start: int, count: int) -> list[Line]:
        assert self.weighing is not None
        found = self.weighing.findings[start : start + count]
        return [weigh_lines.row(finding, self.sheet, self.size.width) for finding in found]

    def _below(self) -> None:
        finding = self.finding
        if self.weighing is None or finding is None:
            self.one("below").show([])
            return
        width = self.size.width
        beside = weigh_lines.beside_verdict(len(self.caveats), len(self.weighing.causes))
        verdict = weigh_lines.verdict_lines(self.use, self.weighing.verdicts.get(self.use), beside, width)
        if not self.opened:
            roomy = self._room() >= 8
            lines: list[Line] = ["", *weigh_lines.why_lines(finding, width, 3 if roomy else 2)]
            lines += [""] * ((5 if roomy else 3) - len(lines))  # the verdict keeps its place
            self.one("below").show([*lines, *verdict])
            return
        room = self.size.height - self.HEAD_HEIGHT - 2
        above: Sequence[Line] = ()
        if self.tall:
            above = ["", *verdict, (("─" * width, "rule"),)]
            room -= 2 + self.list_here.count + len(above)
        if self.causes and self.weighing.causes:
            opened = weigh_lines.cause_lines(self.weighing.causes, width)[:room]
        else:
            opened = weigh_lines.opened(finding, self._curve(finding), self.weighing.causes, width, room)
        self.one("below").show([*above, *opened])

    def _room(self) -> int:
        return self.size.height - self.HEAD_HEIGHT - 2 - 2 - self.list_here.count

    def _curve(self, finding: Finding) -> RegionCurve | None:
        found = self.curves.get(finding.region, ())
        return found[self.other % len(found)] if found else None

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        if way == "left" and self.opened:
            self._close()
        elif way == "right" and not self.opened:
            self.action_enter()
        else:
            self.list_here.move(way)

    def moved(self) -> None:
        self.other = 0
        if self.opened:
            self._fetch()
        self._below()

    def action_enter(self) -> None:
        finding = self.finding
        if finding is None:
            return
        if self.opened:
            self.drydown.push_screen(
                TextPage(
                    self.bench,
                    f"{finding.title}: metrics",
                    partial(weigh_lines.metric_page, finding),
                    f"metrics-{finding.region}",
                )
            )
            return
        self.opened, self.causes = True, False
        self._fetch()
        self.refresh_page()

    def _fetch(self) -> None:
        finding = self.finding
        if finding is not None and finding.region not in self.curves and finding.instrument is not None:
            region = finding.region
            self.start_job("curve", partial(_curves, self.session_id, region))

    def back(self) -> None:
        if self.opened:
            self._close()
        else:
            super().back()

    def _close(self) -> None:
        self.opened = self.causes = False
        self.refresh_page()

    def action_use(self) -> None:
        uses = list(self.weighing.verdicts) if self.weighing else []
        if uses:
            self.use = uses[(uses.index(self.use) + 1) % len(uses) if self.use in uses else 0]
            self.refresh_page()

    def action_view(self) -> None:
        if self.weighing is None:
            return
        if self.opened:
            self.other += 1
            self.causes = False
            self._below()
        else:
            caveats = self.caveats
            self.drydown.push_screen(
                TextPage(self.bench, "What goes with the result", partial(_caveat_page, caveats), "caveats")
            )

    def action_part(self) -> None:
        if not (self.weighing and self.weighing.causes):
            self.tell("No likely cause to show.")
        elif self.opened:
            self.causes = not self.causes
            self._below()
        else:
            self.opened = self.causes = True
            self._fetch()
            self.refresh_page()

    def action_again(self) -> None:
        finding = self.finding
        viewing = self.session.viewing
        if finding is None or viewing is None:
            self.tell("No viewing has begun; g 3 goes to Look.")
            return
        wanted = finding.region not in viewing.look_again
        self.save(partial(look.again, self.bench, self.session_id, finding.region, wanted))

    def turned(self, step: Step) -> None:
        regions = [finding.region for finding in self.weighing.findings] if self.weighing else []
        if step.entries[0].subject in regions:
            self.list_here.put(regions.index(step.entries[0].subject))

    def changed(self) -> None:
        super().changed()
        if self.weighing is not None and self.weighing.revision != self.session.revision:
            said = self.said
            self._weigh()
            self.said = said

    def as_text(self) -> str:
        if self.weighing is None:
            return self.print_title() + "\n"
        return weigh_lines.as_text(self.weighing, self.caveats, self.sheet, self.use, self.print_title())


def _weighed(session_id: int, bench: Bench, _progress: object) -> tuple[Weighing, str]:
    weighing = weigh.weigh(bench, session_id)
    return weighing, published.since(bench, weighing)


def _curves(
    session_id: int, region: str, bench: Bench, _progress: object
) -> tuple[str, tuple[RegionCurve, ...]]:
    found = curves.of_region(bench, session_id, region)
    return region, found if isinstance(found, tuple) else ()


def _caveat_page(caveats: Sequence[str], width: int) -> list[Line]:
    from tui.widgets.lines import wrapped

    lines: list[Line] = [""]
    for caveat in caveats or ("Nothing.",):
        lines += [f"   {row}" for row in wrapped(caveat, width - 6)]
        lines.append("")
    return lines
