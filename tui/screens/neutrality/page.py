"""The neutrality record: a print's greys as a curve of letters, in words and in numbers; others laid over."""

from collections.abc import Sequence
from functools import partial
from typing import Any, Final

from textual.app import ComposeResult

from evaluation.csv_text import tabbed
from evaluation.telling.figure import Figure as RegionCurve
from evaluation.telling.neutrality import curves, tables
from evaluation.telling.neutrality.prints import Greys
from evaluation.telling.neutrality.prints import Neutrality as Found
from evaluation.work.bench import Bench
from evaluation.work.neutrality import neutrality
from tui import keys
from tui.screens.base.copies import Copied, Copying
from tui.screens.base.text import TextPage
from tui.screens.neutrality import lines as neutrality_lines
from tui.widgets import head
from tui.widgets.lines import Line, texts
from tui.widgets.panel import Panel

_TONES: Final = ("neutral", "warm", "cool")


class Neutrality(Copying):
    """One print at a time, with Left and Right to the others. Worked out in a thread."""

    PAGE = "neutrality"
    BINDINGS = keys.bindings("neutrality")
    TEXT = (
        "Is it neutral from paper to black, in any light? The letters are the curve: a and b are how far the "
        "greys lie from their aim. v shows the other prints laid over, other lights, measurement conditions "
        "and tone; f holds the greys against another tone; Enter opens every step in numbers."
    )

    def __init__(self, bench: Bench, session_ids: Sequence[int], first: int | None = None) -> None:
        super().__init__(bench)
        self.ids = tuple(dict.fromkeys(session_ids))
        self.at = self.ids.index(first) if first in self.ids else 0
        self.view = 0
        self.tone: str | None = None  # None: as each session says
        self.found: Found | None = None
        self.curves: dict[int, tuple[RegionCurve, ...]] = {}

    def body(self) -> ComposeResult:
        yield Panel("record", "The record", classes="panel here")

    def on_mount(self) -> None:
        self._work()

    def session_in_hand(self) -> int:
        return self.ids[self.at]

    def _work(self, then: str = "") -> None:
        self.tell("Working the record out.")
        self.start_job("neutrality", partial(_worked, self.ids, self.tone, then))

    def done(self, job: str, value: Any) -> None:
        self.found, self.curves, then = value
        self._legend()
        if then:
            self.said = then
        self.refresh_page()

    @property
    def greys(self) -> Greys | None:
        return self.found.of(self.ids[self.at]) if self.found is not None else None

    @property
    def curve(self) -> RegionCurve | None:
        own = self.curves.get(self.ids[self.at], ())
        return own[self.view % len(own)] if own else None

    # Drawing ----------------------------------------------------------------------------------------------

    def head_lines(self, width: int) -> Sequence[Line]:
        title = "Neutrality" if self.greys is None else neutrality_lines.title(self.greys)
        place = f"{self.at + 1} of {len(self.ids)}" if len(self.ids) > 1 and len(title) < width - 12 else ""
        return head.plain_head(title, place, width)

    def foot_state(self) -> str:
        if self.greys is not None and self.greys.record is None:
            return "neutrality.none"
        return "neutrality.many" if len(self.ids) > 1 else "neutrality"

    def repaint(self) -> None:
        if self.found is None or self.greys is None:
            self.one("record").show([])
            return
        found, greys, curve = self.found, self.greys, self.curve
        if curve is None:
            self.one("record").show(lambda width, height: neutrality_lines.nothing(found, greys, width))
            return
        first = self.view % len(self.curves[self.ids[self.at]]) == 0
        self.one("record").show(partial(neutrality_lines.drawn, found, greys, curve, first))

    def _legend(self) -> None:
        """What the characters are stands above the keys until something else is to be told."""
        self.said = ""
        if self.greys is not None and self.curve is not None:
            self.said = neutrality_lines.legend(self.greys, self.curve, self.size.width)

    # Keys -------------------------------------------------------------------------------------------------

    def move(self, way: str) -> None:
        step = {"left": -1, "up": -1, "right": 1, "down": 1}.get(way)
        ends = {"home": 0, "end": len(self.ids) - 1}
        to = ends.get(way, self.at if step is None else self.at + step)
        if 0 <= to < len(self.ids) and to != self.at:
            self.at = to
            self._legend()
            self.refresh_page()

    def action_view(self) -> None:
        self.view += 1
        self._legend()
        self.refresh_page()

    def action_tone(self) -> None:
        """Against the next tone: as described, neutral, warm, cool, like each of the prints."""
        if self.found is None:
            return
        likes = [f"like session {one.id}" for one in self.found.prints if one.record is not None]
        tones: list[str | None] = [None, *_TONES, *likes]
        self.tone = tones[(tones.index(self.tone) + 1) % len(tones) if self.tone in tones else 0]
        words = "as each session says" if self.tone is None else self.tone
        self._work(f"Tone wanted: {words}. f goes on to the next; nothing of this is saved.")

    def action_enter(self) -> None:
        if self.found is None or self.greys is None:
            return
        if self.greys.hidden:
            self.ask(
                "Its neutral scale is not graded. Showing it is recorded. Show? 1 yes, 0 no.",
                {"1": partial(self._reveal, self.greys.id)},
            )
        elif self.greys.record is not None:
            made = partial(neutrality_lines.steps_page, self.found, self.greys)
            name = f"neutrality-steps-{self.greys.id}"
            self.app.push_screen(TextPage(self.bench, neutrality_lines.title(self.greys), made, name))

    def _reveal(self, session_id: int) -> None:
        if self.attempt(lambda: neutrality.reveal(self.bench, session_id)):
            self._work("Shown before its grade; that is recorded with the session.")

    def back(self) -> None:
        self.app.pop_screen()

    def copies(self) -> Sequence[Copied]:
        page = [Copied("the record", self.as_text(), self.file_name())]
        if self.found is None or self.greys is None or self.greys.record is None:
            return page
        steps, name = tables.steps(self.greys.record), f"neutrality-{self.greys.id}"
        sentence = f"{tables.title(self.greys)}. {self.found.quote or self.greys.sentence}\n"
        return [
            *page,
            Copied("the steps", tabbed(steps.heads, steps.rows), f"{name}.tsv"),
            Copied("the sentence", sentence, f"{name}-sentence.txt"),
        ]

    def as_text(self) -> str:
        """The record whole: what is on the screen, then every number of the print."""
        if self.found is None or self.greys is None:
            return ""
        rows = [neutrality_lines.title(self.greys), *texts(self.one("record").rows)]
        if self.curve is not None:
            rows.append(f" {neutrality_lines.legend(self.greys, self.curve, 120)}")
            rows += texts(neutrality_lines.steps_page(self.found, self.greys, 120))
        return "\n".join(rows) + "\n"

    def file_name(self) -> str:
        return f"neutrality-{'-'.join(str(one) for one in self.ids)}.txt"


def _worked(
    ids: Sequence[int], tone: str | None, then: str, bench: Bench, _progress: object
) -> tuple[Found, dict[int, tuple[RegionCurve, ...]], str]:
    found = neutrality.neutrality(bench, ids, tone_wanted=tone)
    return found, {one: curves.of_print(found, one) for one in ids}, then
