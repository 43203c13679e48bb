"""`drydown export`: archives as tables, for programs that work on many of them."""

from argparse import Namespace

from evaluation.documents.export import Export
from evaluation.errors import DrydownError
from evaluation.export.written import ALWAYS
from evaluation.plain_text import counted
from evaluation.work.export.export import export_all, untold
from evaluation.work.export.one_archive import Exported
from tui.out import Out
from tui.place import archive_path


def run(args: Namespace, out: Out) -> int:
    """An archive that cannot be read is named at the end, and the exit code is 1; the others are exported."""
    archives = args.archives or [archive_path(getattr(args, "archive", None))]
    formats = tuple(dict.fromkeys(args.formats or ALWAYS))
    done = export_all(
        archives,
        args.folder,
        formats,
        names=not args.without_names,
        processes=args.processes,
        tell=out.progress() or untold,
    )
    if out.as_json:
        document: Export = {
            "folder": str(args.folder),
            "formats": list(formats),
            "with_names": not args.without_names,
            "archives": [
                {
                    "archive": one.archive,
                    "origin": one.origin or None,
                    "sessions": one.sessions,
                    "waiting": one.waiting,
                    "written": one.written,
                    "unchanged": one.unchanged,
                    "problem": one.problem and dict(one.problem),
                }
                for one in done
            ],
        }
        out.result(document)
    else:
        _summary([one for one in done if one.problem is None], str(args.folder), out)
    failed = [one.problem for one in done if one.problem is not None]
    for problem in failed:
        out.aside(DrydownError(**problem).sentence)
    return 1 if failed else 0


def _summary(done: list[Exported], folder: str, out: Out) -> None:
    if not done:
        return
    of = f"{counted(sum(one.sessions for one in done), 'session')} of {counted(len(done), 'archive')}"
    written, unchanged = (sum(one.written for one in done), sum(one.unchanged for one in done))
    out.line(f"{of} in {folder}: {counted(written, 'file')} written, {unchanged:,} unchanged.")
    if waiting := sum(one.waiting for one in done):
        lack = "lacks" if waiting == 1 else "lack"
        out.line(f"{counted(waiting, 'session')} {lack} an up-to-date result; `drydown weigh` makes one.")
