"""`drydown bundle`: sessions in a file of their own, for somebody else's archive."""

from argparse import Namespace

from evaluation.plain_text import listed
from evaluation.work.bundle import bundle
from evaluation.work.log import session
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Never writes over a file."""
    with bench(getattr(args, "archive", None)) as at:
        ids = list(dict.fromkeys(session(at, reference).id for reference in args.sessions))
        made = bundle.make(
            at, ids, args.out, names=not args.without_names, pictures=not args.without_pictures
        )
    if out.as_json:
        out.result(
            {
                "file": str(args.out),
                "sessions": list(made.sessions),
                "also": list(made.also),
                "documents": made.documents,
                "size": made.size,
            }
        )
        return 0
    out.line(f"{_sessions(made.sessions)} in {args.out}, {made.size / 1e6:.1f} MB.")
    if made.also:
        out.line(f"With {_sessions(made.also).lower()}, which they refer to.")
    return 0


def _sessions(numbers: tuple[int, ...]) -> str:
    return f"Session{'s' if len(numbers) > 1 else ''} {listed([str(one) for one in numbers])}"
