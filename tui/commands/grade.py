"""`drydown grade`: a viewing made on paper, typed in afterwards."""

from argparse import Namespace

from evaluation.plain_text import listed
from evaluation.work.bench import drawn_sheet_of, sheet_of
from evaluation.work.describe.begin import read_text
from evaluation.work.log import session
from evaluation.work.paper import form as paper_form
from evaluation.work.paper import viewing
from evaluation.work.paper.viewing import Form
from tui.out import Out, by_keys
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Record the form and list what it leaves out, or print the sheet's form with every answer blank."""
    with bench(getattr(args, "archive", None)) as at:
        subject = session(at, args.session)
        if args.template:
            out.template(paper_form.blank_form(sheet_of(at, subject)))
            return 0
        text = read_text(args.source, viewing.NOT_RECORDED)
        sheet, absent = drawn_sheet_of(at, subject), subject.condition.absent
        form = viewing.read_form(text, args.source.name, sheet, absent_before=absent)
        before = viewing.same_before(form, subject)
        after = viewing.record(at, subject.id, form).session
        left = viewing.left_out(form, after, sheet_of(at, after))
    if before is not None:
        out.aside(
            f"Viewing {before.ordinal} says the same. If this is the same form, u in Look takes it out again."
        )
    if out.as_json:
        counts = {"answers": len(form.answers), "faults": len(form.faults), "remarks": len(form.remarks)}
        out.result({"session": subject.id, "observer": form.observer, **counts, "left_out": left})
        return 0
    out.line(f"Recorded: {_counts(form)} of {form.observer} in session {subject.id}.")
    if left:
        out.line(f"Left out: {by_keys(left)}.")
    return 0


def _counts(form: Form) -> str:
    """What the form said, in numbers; what it did not say is not counted."""
    parts = [
        _counted(len(form.answers), "answer"),
        _counted(len(form.faults), "fault"),
        _counted(len(form.faultless), "region") + " without a fault" if form.faultless else "",
        _counted(len(form.absent), "region") + " not on the sheet" if form.absent else "",
        _counted(len(form.again), "region") + " to be looked at again" if form.again else "",
        _counted(len(form.remarks), "remark"),
    ]
    return listed([part for part in parts if part])


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}" if count else ""
