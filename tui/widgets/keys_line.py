"""The last line of every screen: keys of the framework, in the order `footers.with_footer` gives."""

from typing import Any

from textual.binding import Binding
from textual.content import Content, Span
from textual.events import Click
from textual.screen import Screen
from textual.style import Style
from textual.widgets import Static


class KeysLine(Static):
    """A key, what it does, the next; a click presses the key.

    The framework's Footer mounts a widget for each of them, and styles and lays out all of them anew whenever
    one changes: more than everything else a key press costs (tests/benchmarks/bench_app.py).
    """

    def __init__(self) -> None:
        super().__init__(markup=False)
        self._says: list[tuple[Any, ...]] = []

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, self._bindings_changed)
        self.call_after_refresh(self._bindings_changed, self.screen)  # when the screen knows its state

    def _bindings_changed(self, screen: Screen[Any]) -> None:
        if screen is not self.screen or not self.app.app_focus:
            return
        shown = [active for active in screen.active_bindings.values() if active.binding.show]
        says = [(one.binding.key, one.binding.description, one.enabled) for one in shown]
        if says != self._says:
            self._says = says
            told = [self._key(active.binding, active.enabled) for active in shown]
            self.update(Content("   ").join(told), layout=False)

    def _key(self, binding: Binding, enabled: bool) -> Content:
        dim = "" if enabled else " dim"
        key, does = self.app.get_key_display(binding), binding.description
        said = Content.assemble((f"{key} " if does else key, "$foreground" + dim), (does, "$quiet" + dim))
        press = Style.from_meta({"press": binding.key if enabled else ""})
        return said.add_spans([Span(0, len(said), press)])

    def on_click(self, event: Click) -> None:
        key = event.style.meta.get("press")
        if key:
            self.app.simulate_key(key)
