"""`drydown check`: is the archive sound; is an appendix unchanged; do a session's numbers hold."""

from argparse import Namespace
from dataclasses import asdict

from evaluation.work import upkeep
from tui.out import Out
from tui.place import bench
from tui.reports.health import archive


def run(args: Namespace, out: Out) -> int:
    """Exit 0 when sound, unchanged or confirmed, 1 otherwise."""
    if args.numbers is not None:
        return _numbers(args, out)
    if args.file is not None and args.file.suffix.lower() in (".html", ".md", ".pdf"):
        return _appendix(args, out)
    with bench(args.file or getattr(args, "archive", None)) as at:
        found = upkeep.check(at)
    if out.as_json:
        out.result(asdict(found) | {"sound": found.sound})
        return 0 if found.sound else 1
    out.report(archive(found))
    return 0 if found.sound else 1


def _appendix(args: Namespace, out: Out) -> int:
    from evaluation.appendix.unchanged import check_file

    found = check_file(args.file)
    if out.as_json:
        out.result({"file": str(args.file), "unchanged": found.unchanged, "what": found.what})
    else:
        out.line(found.what)
    return 0 if found.unchanged else 1


def _numbers(args: Namespace, out: Out) -> int:
    from evaluation.work import numbers  # numpy and colour-science, which the other checks do without
    from evaluation.work.log import session
    from tui.reports.health import numbers as told

    with bench(args.file or getattr(args, "archive", None)) as at:
        found = numbers.check_numbers(at, session(at, args.numbers).id)
    if out.as_json:
        out.result(numbers.document(found))
        return 0 if found.agree else 1
    out.report(told(found))
    return 0 if found.agree else 1
