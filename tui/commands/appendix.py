"""`drydown appendix`: the document that goes with a review."""

from argparse import Namespace

from evaluation.work import weigh, write_up
from evaluation.work.say import session
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Write one file about one or several sessions."""
    with bench(getattr(args, "archive", None)) as at:
        ids = [session(at, reference).id for reference in args.sessions]
        if args.reveal:
            for session_id in ids:
                weigh.weigh(at, session_id, reveal=True)
        write_up.write(at, ids, args.out, overwrite=args.replace)
    if out.as_json:
        out.result({"file": str(args.out), "sessions": ids})
    else:
        out.line(f"Written: {args.out}")
    return 0
