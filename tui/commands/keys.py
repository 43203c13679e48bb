"""`drydown keys`: every key of the app, where it works, and its name in `drydown.toml`."""

from argparse import Namespace

from tui import keys
from tui.out import Out


def run(args: Namespace, out: Out) -> int:
    """Print the table; what was changed in `drydown.toml` is not in it."""
    out.table(("key", "does", "where", "name"), keys.table())
    return 0
