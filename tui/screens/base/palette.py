"""Every action of the screen below by its name: the framework's palette over that screen's bindings."""

from collections.abc import Iterator
from functools import partial

from textual.command import CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.content import Content

from tui import footers, keys
from tui.screens.base.page import Page
from tui.screens.tools.table import TOOLS
from tui.widgets.lines import cell

_KEY = 9  # columns of a key before its action


class Actions(Provider):
    """The bindings alive on the page that the palette was opened over."""

    def _actions(self) -> Iterator[tuple[str, str, partial[object]]]:
        """What the page does, then the tools, then what every page does; moving about has its keys."""
        page = self.screen
        if not isinstance(page, Page):
            return
        tools = True
        for active in footers.listed(page.bindings_here()):
            key = keys.of_binding(active.binding.id)
            assert key is not None
            if tools and key.where == "all":
                tools = False
                yield from self._tools(page)
            if not key.action.startswith("move("):
                run = partial(self.app.run_action, active.binding.action, active.node)
                yield key.tooltip, keys.written(active.binding.key), run

    def _tools(self, page: Page) -> Iterator[tuple[str, str, partial[object]]]:
        for tool in TOOLS:
            yield tool.name, "", partial(page.desk.go, f"tools/{tool.id}", page.session_in_hand())

    async def discover(self) -> Hits:
        for name, key, run in self._actions():
            yield DiscoveryHit(f"{cell(key, _KEY)}{name}", run, text=name)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for name, key, run in self._actions():
            if (score := matcher.match(name)) > 0:
                shown = Content.assemble(cell(key, _KEY), matcher.highlight(name))
                yield Hit(score, shown, run, text=name)


class Palette(CommandPalette):
    """Over the whole page, whose keys are not to be pressed now."""

    def on_mount(self) -> None:
        frame = self.query_one("#--container")
        frame.border_title = "Actions"
        frame.border_subtitle = "Type a part of its name; Up Down, Enter does it, Esc goes back"


def palette() -> CommandPalette:
    return Palette(providers=[Actions], placeholder="What to do")
