"""`drydown facts`: what readers ask for and nobody grades, stated and shown, with how it was come by."""

from argparse import Namespace

from evaluation.errors import UsageProblem
from evaluation.telling import facts as words
from evaluation.work.facts import document, facts
from evaluation.work.facts.paper import paper_facts
from evaluation.work.log import session
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """State what was given, then show all facts of the session, its printer and its paper."""
    if args.template:
        out.template(facts.blank_form())
        return 0
    if args.session is None:
        raise UsageProblem(
            "No fact was shown.",
            expected="the number of a session",
            found="none",
            remedy="As in drydown facts 4.",
        )
    with bench(getattr(args, "archive", None)) as at:
        found = session(at, args.session)
        if args.source is not None:
            facts.state_form(at, found.id, args.source)
        for said in args.say:
            facts.state_said(at, found.id, said)
        found = session(at, found.id)
        stated, paper = facts.of_session(at, found), paper_facts(at, found.id)
    if out.as_json:
        out.result(document.document(found.id, stated, paper))
        return 0
    if not stated and not paper:
        out.line(
            "Nothing is stated, and the bare paper was not read. drydown facts --template prints the form."
        )
        return 0
    tables = [words.table(stated, found.id)] if stated else []
    tables += [words.paper_table(paper)] if paper else []
    for table in tables:
        out.report([table.title])
        for row in table.rows:
            of = f" ({row[2]})" if len(row) > 3 and row[2] != "-" else ""
            out.report([f"{row[0]}: {row[1]}{of}", f"  {row[-1]}"])
        out.line()
    out.line(words.TABLE_NOTE)
    return 0
