"""`drydown attach`: a photograph of a fault, with its caption, for the appendix."""

from argparse import Namespace

from evaluation.work.log import session
from evaluation.work.look.attach import attach
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Keep the photograph, scaled, with a region of the session."""
    with bench(getattr(args, "archive", None)) as at:
        subject = session(at, args.session)
        step = attach(at, subject.id, args.region, args.file, fault=args.fault, caption=args.caption)
    if out.as_json:
        out.result({"session": subject.id, "region": args.region, "file": str(args.file)})
    else:
        out.line(f"{step.words}.")
    return 0
