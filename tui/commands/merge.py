"""`drydown merge`: what bundles hold and the archive does not; without one, what is still to be chosen."""

from argparse import Namespace
from collections.abc import Sequence
from typing import Any

from evaluation.archive.bundles.nouns import Divergence
from evaluation.errors import UsageProblem
from evaluation.work.bundle import bundle
from evaluation.work.bundle.document import differences, document
from tui.out import Out
from tui.place import bench
from tui.reports import merge as told


def run(args: Namespace, out: Out) -> int:
    """All bundles or none."""
    _refuse_odd(args)
    with bench(getattr(args, "archive", None), create=bool(args.files)) as at:
        if args.undo:
            undone = bundle.undo(at)
            words = {"undone": list(undone.files)}
            return _told(out, words, [f"As before the merge of {', '.join(undone.files)}."])
        if args.choose:
            bundle.choose(at, *args.choose)
        if not args.files:
            return _open(out, bundle.open_differences(at))
        found = bundle.merge(at, args.files, dry_run=args.dry_run)
    return _told(out, document(found, args.dry_run), told.merged(found, dry_run=args.dry_run))


def _open(out: Out, found: Sequence[Divergence]) -> int:
    words = {"differences": differences(found)}
    return _told(out, words, told.differences(found) or ["Nothing is left to choose."])


def _told(out: Out, document: dict[str, Any], report: list[Any]) -> int:
    if out.as_json:
        out.result(document)
    else:
        out.report(report)
    return 0


def _refuse_odd(args: Namespace) -> None:
    if args.files and (args.undo or args.choose):
        raise UsageProblem(
            "Nothing was merged.", expected="bundles, or --undo or --choose without any", found="both"
        )
