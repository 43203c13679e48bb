"""`drydown` alone: the app on the archive in use."""

from argparse import Namespace

from tui.out import Out
from tui.place import archive_path
from tui.terminal import keys_kept


def run(args: Namespace, out: Out) -> int:
    """Open the app; its exit code is ours."""
    with keys_kept():
        from tui.app import run_app  # textual

        return run_app(
            archive_path(getattr(args, "archive", None)),
            watch=args.watch,
            mouse=not args.no_mouse,
            animation=not args.no_animation,
        )
