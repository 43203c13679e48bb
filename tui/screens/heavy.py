"""What opening a session imports: loaded in a thread after the first frame, so that no key waits for it."""

import importlib


def load() -> None:
    """The lightest first."""
    first = "steps.describe steps.prepare look.page steps.which"
    then = "read.page weigh.page write_up.page read.patches compare.page"
    for name in f"{first} {then}".split():
        importlib.import_module(f"tui.screens.{name}")
