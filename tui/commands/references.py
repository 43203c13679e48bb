"""`drydown references`: own prints that are graded again and again, and how steady an eye is over them."""

from argparse import Namespace

from evaluation.work.log import session
from evaluation.work.references import references
from evaluation.work.references.document import document
from tui.out import Out
from tui.place import bench
from tui.reports.references import report


def run(args: Namespace, out: Out) -> int:
    """With `--keep` these sessions and no others are kept first."""
    with bench(getattr(args, "archive", None)) as at:
        if args.keep is not None:
            references.keep(at, [session(at, one).id for one in args.keep])
        found = references.references(at)
    if out.as_json:
        out.result(document(found))
        return 0
    out.report(report(found))
    return 0
