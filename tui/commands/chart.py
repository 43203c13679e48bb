"""`drydown chart`: the profiling data of sessions side by side; what another session offers; has it moved."""

from argparse import Namespace

from evaluation.telling import charts as words
from evaluation.work.charts import charts, document, kept
from evaluation.work.log import session
from evaluation.work.weigh.weigh import tables
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """A row a fact, a column a session; then what was read again, what two differ by, what is offered."""
    with bench(getattr(args, "archive", None)) as at:
        ids = list(dict.fromkeys(session(at, each).id for each in args.sessions))
        if args.take_over is not None:
            kept.take_over(at, ids[0], session(at, args.take_over).id)
        in_force = tables(at)
        found = [charts.of_session(at, each, in_force) for each in ids]
        between = charts.between(at, found, in_force)
    if out.as_json:
        out.result(document.document(found, between))
        return 0
    out.table(("", *(f"session {each.session.id}" for each in found)), words.rows(found))
    lines = words.told(found, between)
    lines += [words.offered_words(each.session.id, one) for each in found for one in each.offered]
    for line in ("", *lines) if lines else ():
        out.line(line)
    out.line()
    out.line(words.LIMITS)
    return 0
