"""`drydown check`: is the archive sound; is an appendix unchanged since it was written."""

from argparse import Namespace
from dataclasses import asdict

from evaluation.archive import health
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Exit 0 when sound or unchanged, 1 otherwise."""
    if args.file is not None and args.file.suffix.lower() in (".html", ".md", ".pdf"):
        return _appendix(args, out)
    with bench(args.file or getattr(args, "archive", None)) as at:
        found = health.check(at.archive)
    if out.as_json:
        out.result(asdict(found) | {"sound": found.sound})
        return 0 if found.sound else 1
    out.line(
        f"{found.sessions} sessions, {found.entries} entries, {found.readings} readings, "
        f"{found.documents} documents in {found.size / 1e6:.1f} MB."
    )
    for trouble in found.troubles:
        out.line(trouble)
    out.line(
        "The archive is sound." if found.sound else "Go back to a backup, or keep a copy before you work on."
    )
    return 0 if found.sound else 1


def _appendix(args: Namespace, out: Out) -> int:
    from evaluation.appendix.unchanged import check_file

    found = check_file(args.file)
    if out.as_json:
        out.result({"file": str(args.file), "unchanged": found.unchanged, "what": found.what})
    else:
        out.line(found.what)
    return 0 if found.unchanged else 1
