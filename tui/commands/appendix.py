"""`drydown appendix`: the document that goes with a review."""

from argparse import Namespace

from evaluation.errors import UsageProblem
from evaluation.work.log import session
from evaluation.work.weigh import weigh
from evaluation.work.write_up import write_up
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Write one file about one or several sessions."""
    with bench(getattr(args, "archive", None)) as at:
        ids = [session(at, reference).id for reference in args.sessions]
        if twice := [number for number in ids if ids.count(number) > 1]:
            raise UsageProblem(
                write_up.NOT_WRITTEN, expected="each session once", found=f"session {twice[0]} twice"
            )
        if args.reveal:
            for session_id in ids:
                weigh.weigh(at, session_id, reveal=True)
        written = write_up.write(
            at,
            ids,
            args.out,
            write_up.Choices(args.parts, args.observers, args.paper),
            overwrite=args.replace,
            with_data=args.data,
            figures=args.figures,
            style=args.style,
        )
    beside = [str(file) for file in written.beside]
    if out.as_json:
        out.result({"file": str(args.out), "sessions": ids, "digest": written.digest, "beside": beside})
        return 0
    out.line(written.words)
    for file in beside:
        out.line(f"  {file}")
    return 0
