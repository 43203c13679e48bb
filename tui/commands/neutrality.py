"""`drydown neutrality`: the black-and-white record of one print or several, side by side."""

from argparse import Namespace

from evaluation.errors import UsageProblem
from evaluation.telling.neutrality import curves, side_by_side, tables
from evaluation.telling.neutrality.prints import Greys, Neutrality
from evaluation.telling.table import Table
from evaluation.work.log import session
from evaluation.work.neutrality import lamps, neutrality
from evaluation.work.neutrality.document import document
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Modes side by side with the sentence to quote; each print with its tables; what limits them."""
    with bench(getattr(args, "archive", None)) as at:
        ids = [session(at, reference).id for reference in args.sessions]
        found = neutrality.neutrality(
            at,
            ids,
            lamps=lamps.asked(at, args.lamp, args.light),
            tone_wanted=args.tone,
            reveal_hidden=args.reveal,
        )
    if out.as_json:
        out.result(document(found))
        return 0
    if not found.known:
        raise UsageProblem(
            " ".join([*dict.fromkeys(one.why for one in found.prints), neutrality.NOT_RECORDED]),
            remedy="Grade the neutral scale and read it; `--reveal` shows its readings before, on record.",
        )
    _told(found, out)
    return 0


def _told(found: Neutrality, out: Out) -> None:
    if len(found.known) > 1:
        _table(side_by_side.side_by_side(found), out)
        out.line(found.quote)
        for words in side_by_side.in_words(found):
            out.line(words)
        out.line()
        for curve in curves.laid_over(found):
            _table(curves.as_table(curve), out)
    for one in found.prints:
        _print(one, out)
    for caveat in found.caveats:
        out.line(caveat)


def _print(one: Greys, out: Out) -> None:
    if one.record is None:
        out.line(one.why)
        out.line()
        return
    out.line(tables.title(one))
    out.line(one.sentence)
    out.line()
    for table in tables.of_print(one):
        _table(table, out)


def _table(table: Table, out: Out) -> None:
    out.line(table.title)
    if any(table.heads):
        out.table(table.heads, table.rows, right=table.right)
    else:
        width = max(len(row[0]) for row in table.rows)
        for name, *rest in table.rows:
            out.line(f"{name:<{width}}  {' '.join(rest)}")
    if table.note:
        out.line(table.note)
    out.line()
