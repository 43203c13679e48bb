"""`drydown bring-back`: removed sessions on the list again."""

from argparse import Namespace

from evaluation.plain_text import listed
from evaluation.work import home
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """All of those named, or none where one of them cannot be brought back."""
    with bench(getattr(args, "archive", None)) as at:
        found = list(dict.fromkeys(home.removed_one(at, reference) for reference in args.sessions))
        with at.archive.joined():
            for session_id in found:
                home.bring_back(at, session_id)
    if out.as_json:
        out.result({"sessions": found})
    else:
        several = len(found) > 1
        names = listed([str(one) for one in found])
        out.line(f"Session{'s' if several else ''} {names} {'are' if several else 'is'} back on the list.")
    return 0
