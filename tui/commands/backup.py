"""`drydown backup`: a copy of the archive, also while others work in it."""

from argparse import Namespace

from evaluation.work import upkeep
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Never writes over a file."""
    with bench(getattr(args, "archive", None)) as at:
        upkeep.backup(at, args.file)
    if out.as_json:
        out.result({"file": str(args.file)})
    else:
        out.line(f"Copied to {args.file}")
    return 0
