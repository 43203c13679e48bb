"""`drydown demo`: a fresh copy of the demo archive, opened in the app or only written."""

from argparse import Namespace
from datetime import datetime
from pathlib import Path

from evaluation.errors import UsageProblem
from tui.out import Out
from tui.place import data_folder


def run(args: Namespace, out: Out) -> int:
    """Build the demo through the ordinary verbs; a file that exists is never written over."""
    from fixtures.demo import build  # carries numpy

    path = args.to or _fresh(data_folder() / "demo")
    if path.exists():
        raise UsageProblem(
            "The demo was not written.",
            where=str(path),
            expected="a free name",
            found="a folder of that name" if path.is_dir() else "a file of that name",
            remedy="Name another with --to.",
        )
    path.parent.mkdir(parents=True, exist_ok=True)
    build(path)
    if args.to is not None:
        out.line(f"Written: {path}. Look at it with drydown list --archive {path}")
        return 0
    from tui.app import run_app  # textual, only when the app is wanted

    code = run_app(path, mouse=not args.no_mouse, animation=not args.no_animation)
    out.aside(f"The demo archive stays at {path}.")
    return code


def _fresh(folder: Path) -> Path:
    return folder / f"demo-{datetime.now():%Y%m%d-%H%M%S}.db"
