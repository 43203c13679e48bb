"""`drydown list`: sessions, newest first."""

from argparse import Namespace

from evaluation.work import home
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """One row a session: number, paper, printer, what it is made for, state, verdict."""
    with bench(getattr(args, "archive", None)) as at:
        sessions = home.listed(at)
    if out.as_json:
        out.result({"sessions": sessions})
    elif not sessions:
        out.line("No session yet. drydown new --template prints a condition to begin with.")
    else:
        keys = ("id", "paper", "printer", "made_for", "state", "verdict")
        heads = ("no.", "paper", "printer", "made for", "state", "verdict")
        out.table(heads, [[session[key] for key in keys] for session in sessions], right=(0,))
    return 0
