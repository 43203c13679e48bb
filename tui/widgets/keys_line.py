"""The last line of every screen: the framework's Footer, made anew only where it would say something else."""

from collections.abc import Iterator
from typing import Any

from textual.app import ComposeResult
from textual.binding import Binding
from textual.screen import Screen
from textual.widgets import Footer
from textual.widgets._footer import FooterKey


class KeysLine(Footer):
    """Keys as `footers.with_footer` names them. The framework would make all of them anew at each change of
    focus, and style each one twice: a third of what a key press costs.
    """

    def __init__(self) -> None:
        super().__init__(show_command_palette=False)
        self._says: list[tuple[Any, ...]] = []

    def _shown(self) -> Iterator[tuple[Binding, bool, str]]:
        for _, binding, enabled, tooltip in self.screen.active_bindings.values():
            if binding.show:
                yield binding, enabled, tooltip

    def bindings_changed(self, screen: Screen[Any]) -> None:
        if not self.is_attached or screen is not self.screen or not self.app.app_focus:
            return
        says = [(one.key, one.description, one.key_display, enabled) for one, enabled, _ in self._shown()]
        if says != self._says:
            self._says = says
            super().bindings_changed(screen)

    def compose(self) -> ComposeResult:
        if not self._bindings_ready:
            return
        shown = list(self._shown())
        self.styles.grid_size_columns = len(shown)
        for one, enabled, tooltip in shown:
            yield FooterKey(
                one.key,
                self.app.get_key_display(one),
                one.description,
                one.action,
                disabled=not enabled,
                tooltip=tooltip,
            )
