"""`drydown list`: sessions, newest first; or those that were removed."""

from argparse import Namespace
from datetime import datetime

from evaluation.work import home
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """One row a session: number, paper, printer, what it is made for, state, verdict; when it was removed."""
    with bench(getattr(args, "archive", None)) as at:
        sessions = home.listed(at, removed=args.removed)
        removed = 0 if args.removed else home.count(at, removed=True)
    if out.as_json:
        out.result({"sessions": sessions})
        return 0
    if sessions:
        keys = ["id", "paper", "printer", "made_for", "state", "verdict"]
        heads = ["no.", "paper", "printer", "made for", "state", "verdict"]
        if args.removed:
            heads.append("removed")
        rows = [[session[key] for key in keys] + _when(session["removed"]) for session in sessions]
        out.table(heads, rows, right=(0,))
    elif args.removed:
        out.line("No session was removed.")
    elif not removed:
        out.line("No session yet. drydown new --template prints a condition to begin with.")
    if args.removed and sessions:
        out.line("drydown bring-back and its number puts a session back on the list.")
    if removed:
        none = "" if sessions else "No session is on the list. "
        were = "1 was removed" if removed == 1 else f"{removed} were removed"
        out.line(f"{none}{were}: drydown list --removed.")
    return 0


def _when(removed: str | None) -> list[str]:
    return [] if removed is None else [f"{datetime.fromisoformat(removed).astimezone():%d %b %Y, %H:%M}"]
