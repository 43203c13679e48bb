"""`drydown grade`: a viewing made on paper, typed in afterwards."""

from argparse import Namespace

from evaluation.work import paper, paper_form
from evaluation.work.begin import read_text
from evaluation.work.bench import sheet_of
from evaluation.work.say import session
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Record the form, or print the sheet's form with example answers."""
    with bench(getattr(args, "archive", None)) as at:
        subject = session(at, args.session)
        sheet = sheet_of(at, subject)
        if args.template:
            out.template(paper_form.blank_form(sheet))
            return 0
        form = paper.read_form(read_text(args.source, paper.NOT_RECORDED), args.source.name, sheet)
        paper.record(at, subject.id, form)
    if out.as_json:
        out.result({"session": subject.id, "answers": len(form.answers), "observer": form.observer})
    else:
        out.line(f"Recorded: {len(form.answers)} answers of {form.observer} in session {subject.id}.")
    return 0
