"""Weigh: eye and instrument side by side, region by region, and the verdict. Worked out in a thread."""

from collections.abc import Sequence
from functools import partial
from typing import Any

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import ProgressBar

from evaluation.judgement.opinion import Finding, Weighing
from evaluation.telling.figure import Figure as RegionCurve
from evaluation.work import gate
from evaluation.work.bench import Bench
from evaluation.work.log import Entered
from evaluation.work.look import look
from evaluation.work.weigh import weigh
from evaluation.work.weigh.observers import several
from tui import keys
from tui.screens.base.copies import Copied, Copying
from tui.screens.base.slow import SOON, SlowPage
from tui.screens.base.text import TextPage
from tui.screens.observers.page import ObserversPage
from tui.screens.steps.step import StepPage
from tui.screens.weigh import lines as weigh_lines
from tui.screens.weigh import opened as opened_lines
from tui.screens.weigh import worked
from tui.widgets.lines import Line, paragraphs
from tui.widgets.panel import Frame, Panel
from tui.widgets.row_list import RowList


class Weigh(StepPage, SlowPage, Copying):
    """The table, the verdict, and the row under the cursor with its curve: opened over the table where the
    window is small, beside it from 120 columns on.
    """

    PAGE = "weigh"
    BINDINGS = keys.bindings("weigh")
    TEXT = (
        "Eye and instrument on one ruler: the distance between E and I is their disagreement. Enter opens a "
        "region with the curve that explains it; f chooses what the print is for; v shows "
        "what several observers graded, and the caveats."
    )

    def __init__(self, bench: Bench, session_id: int) -> None:
        super().__init__(bench, session_id)
        self.weighing: Weighing | None = None
        self.caveats: tuple[str, ...] = ()  # of the weighing, and first what it was written up as
        self.beside_it: tuple[str, ...] = ()  # what it lay side by side with, and what came of it
        self.use: str = self.session.condition.made_for or "general"
        self.opened = False
        self.causes = False
        self.other = 0
        self.curves: dict[str, tuple[RegionCurve, ...]] = {}

    def body(self) -> ComposeResult:
        with Vertical(id="left"):
            with Frame("list", "Findings"):
                yield Panel("heading", classes="flat")
                yield RowList("findings", moved=self.moved, chosen=self.action_enter)
            yield Panel("verdict", classes="panel")
        yield Panel("opened", classes="panel here")
        yield Panel("causes", "Possible causes", classes="panel")
        yield ProgressBar(show_eta=False)

    def on_mount(self) -> None:
        named = self.desk.observers.get(self.session_id)
        if gate.another_eye(self.session, named):
            self.one("verdict").called("Out of sight")
            self.one("verdict").show(lambda width, height: paragraphs([weigh_lines.kept_from(named)], width))
        else:
            self._weigh()

    def _weigh(self) -> None:
        self.curves.clear()
        words = "Weighing" if self.weighing is None else ""  # else it is done beside what is shown
        work = partial(worked.weighed, self.session_id)
        self.start_slow("weighing", words, work, "Not weighed: stopped. Enter weighs.", after=SOON)

    def done(self, job: str, value: Any) -> None:
        if job == "weighing":
            self.ended()
            self.weighing, since, beside = value
            self.caveats = (*((since,) if since else ()), *self.weighing.caveats)
            self.beside_it = beside
            if self.said.startswith("Weighing"):
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
        if self.weighing is None:
            kept = gate.another_eye(self.session, self.desk.observers.get(self.session_id))
            return "weigh.busy" if self.busy else "weigh.kept" if kept else "weigh.none"
        return "weigh.row" if self.opened else "weigh"

    @property
    def beside(self) -> bool:
        """Whether the row under the cursor stands beside the table at all times."""
        return self.size.width >= 120

    @property
    def finding(self) -> Finding | None:
        row = self.list_here.cursor
        return self.weighing.findings[row] if self.weighing and row < len(self.weighing.findings) else None

    def region_in_hand(self) -> str:
        return self.finding.region if self.finding is not None else ""

    # Drawing ----------------------------------------------------------------------------------------------

    def repaint(self) -> None:
        self.set_class(self.opened, "-opened")
        self.one("heading").show(lambda width, height: [weigh_lines.heading(self.list_here.room)])
        self.list_here.reload()
        if self.beside:
            self._fetch()
        self._below()

    def _rows(self, start: int, count: int) -> list[Line]:
        assert self.weighing is not None
        found = self.weighing.findings[start : start + count]
        return [weigh_lines.row(finding, self.sheet, self.list_here.room) for finding in found]

    def _below(self) -> None:
        """What speaks of the row under the cursor."""
        finding, weighing = self.finding, self.weighing
        opened, verdict = self.one("opened"), self.one("verdict")
        if weighing is None or finding is None:
            return
        count = (len(self.caveats), len(weighing.causes), several(self.session))
        room = verdict.size.width or self.size.width
        verdict.called(*weigh_lines.verdict_title(self.use, weighing.verdicts.get(self.use), *count, room))
        verdict.show(
            partial(
                weigh_lines.verdict_panel,
                weighing.verdicts.get(self.use),
                None if self.beside or self.opened else finding,
            )
        )
        self.set_class(not weighing.causes, "-causeless")
        self.one("causes").show(
            lambda width, height: opened_lines.cause_lines(weighing.causes, width)[:height]
        )
        if self.causes and weighing.causes:
            opened.called("Possible causes")
            opened.show(lambda width, height: opened_lines.cause_lines(weighing.causes, width)[:height])
        else:
            opened.called(*opened_lines.opened_title(finding))
            coming = finding.instrument is not None and finding.region not in self.curves
            shown = partial(
                opened_lines.opened, finding, self._curve(finding), weighing.causes, coming=coming
            )
            opened.show(shown)

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
        if self.opened or self.beside:
            self._fetch()
        self._below()

    def action_enter(self) -> None:
        finding = self.finding
        if finding is None:
            if self.foot_state() == "weigh.none":
                self._weigh()
            return
        if self.opened:
            self.app.push_screen(
                TextPage(
                    self.bench,
                    f"{finding.title}: metrics",
                    partial(opened_lines.metric_page, finding),
                    f"metrics-{finding.region}",
                )
            )
            return
        self.opened, self.causes = True, False
        if self.beside:
            self.said = "v another curve, Tab possible causes, Enter all metrics."
        self._fetch()
        self.refresh_page()

    def _fetch(self) -> None:
        finding = None if self.busy else self.finding  # the weighing is waited for first
        if finding is not None and finding.region not in self.curves and finding.instrument is not None:
            region = finding.region
            self.start_job("curve", partial(worked.curves_of, self.session_id, region))

    def back(self) -> None:
        if self.opened:
            self._close()
        elif self.weighing is None and self.busy:
            self.stop()
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
            return
        caveats = partial(worked.caveat_page, (*self.beside_it, *self.caveats))
        if several(self.session) > 1:
            self.app.push_screen(ObserversPage(self.bench, self.session_id, caveats))
        else:
            self.app.push_screen(TextPage(self.bench, "Caveats", caveats, "caveats"))

    def action_part(self) -> None:
        if not (self.weighing and self.weighing.causes):
            self.tell("No possible cause to show.")
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

    def turned(self, step: Entered) -> None:
        regions = [finding.region for finding in self.weighing.findings] if self.weighing else []
        if step.entries[0].subject in regions:
            self.list_here.put(regions.index(step.entries[0].subject))

    def changed(self) -> None:
        super().changed()
        if self.weighing is not None and self.weighing.revision != self.session.revision:
            self._weigh()

    def copies(self) -> Sequence[Copied]:
        page = [Copied("the page", self.as_text(), self.file_name())]
        if self.weighing is None or self.finding is None:
            return page
        table = weigh_lines.tabbed_table(self.weighing, self.sheet)
        finding = f"{self.print_title()}. {weigh_lines.sentence(self.finding)}\n"
        return [
            *page,
            Copied("the table", table, f"weigh-{self.session_id}.tsv"),
            Copied("this finding", finding, f"finding-{self.session_id}-{self.finding.region}.txt"),
        ]

    def as_text(self) -> str:
        if self.weighing is None:
            return self.print_title() + "\n"
        return weigh_lines.as_text(
            self.weighing, (*self.beside_it, *self.caveats), self.sheet, self.use, self.print_title()
        )
