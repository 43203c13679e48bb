"""`drydown read`: take readings in. Tells facts of the files, never a value of a patch."""

from argparse import Namespace

from evaluation.plain_text import counted
from evaluation.work.log import session
from evaluation.work.take_in import read
from tui.commands.supplied import said
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Understand every file first; only when all are understood is anything taken in."""
    with bench(getattr(args, "archive", None)) as at:
        subject = session(at, args.session)
        previews = [read.preview(at, subject.id, path, said(args)) for path in args.files]
        for preview in previews:
            read.take_in(at, subject.id, preview)
    if out.as_json:
        out.result({"session": subject.id, "files": [_facts(preview) for preview in previews]})
        return 0
    for preview in previews:
        out.line(f"Taken in: {preview.name}.")
        for part in preview.taken:
            out.line(f"  {read.without_values(part.run)}")
            if part.matched:
                patches = counted(len(part.matched), "patch", "patches")
                out.line(f"  {patches} matched by {part.matched_by}{_left(part)}.")
        for remark in preview.remarks:
            out.line(f"  {remark[:1].upper()}{remark[1:].rstrip('.')}.")
    return 0


def _facts(preview: read.Preview) -> dict[str, object]:
    return {
        "file": preview.name,
        "tables": [
            {
                "readings": len(part.run),
                "condition": part.run.stated.condition,
                "printed_as": part.run.printed_as,
                "matched": len(part.matched),
                "matched_by": part.matched_by,
                "unmatched_rows": len(part.unmatched_rows),
                "unmatched_patches": len(part.unmatched_patches),
            }
            for part in preview.taken
        ],
        "remarks": list(preview.remarks),
    }


def _left(part: read.Taken) -> str:
    left = []
    if part.unmatched_rows:
        is_are = "is" if len(part.unmatched_rows) == 1 else "are"
        left.append(f"{counted(len(part.unmatched_rows), 'row')} of the file {is_are} no patch of this sheet")
    if part.unmatched_patches:
        is_are = "is" if len(part.unmatched_patches) == 1 else "are"
        patches = counted(len(part.unmatched_patches), "patch", "patches")
        left.append(f"{patches} of the sheet {is_are} not in the file")
    return "; " + ", ".join(left) if left else ""
