"""`drydown compare`: prints side by side, and what differs in words."""

import sys
from argparse import Namespace
from collections.abc import Callable

from evaluation.errors import UsageProblem
from evaluation.judgement.matrix import Matrix, PrintColumn
from evaluation.plain_text import DIFFERENCES, difference, listed, lower_first, quoted
from evaluation.session import for_use
from evaluation.telling import comparison as compare_words
from evaluation.telling.difference import because
from evaluation.telling.numbers import measured
from evaluation.telling.paper_and_black import PaperAndBlack, whitener_cell
from evaluation.work.bench import Bench
from evaluation.work.compare import compare, curves, document
from evaluation.work.compare import facts as compare_facts
from evaluation.work.log import session
from evaluation.work.onto_disk import NO_PICTURE, put_picture, refuse_picture
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """A row a region, a column a print; then groups, the sentence for the review, facts and caveats."""
    if args.plot is not None:
        refuse_picture(args.plot, overwrite=args.replace)
    with bench(getattr(args, "archive", None)) as at:
        ids = [session(at, reference).id for reference in args.sessions]
        base = session(at, args.base).id if args.base is not None else None
        matrix = compare.worked_out(at, ids, base, every_pair=not args.csv, tell=_progress(args))
        use = args.use or compare.use_of(matrix)
        if args.plot is not None:
            _plot(at, matrix, args)
        if args.csv:
            out.file(document.as_csv(matrix))
            return 0
        facts = {column.session: compare_facts.facts(at, column.session) for column in matrix.columns}
    if out.as_json:
        out.result(document.document(matrix, use, facts))
        return 0
    _told(matrix, use, facts, out)
    if args.plot is not None:
        out.line(f"Written: {args.plot}")
    return 0


def _told(matrix: Matrix, use: str, facts: dict[int, PaperAndBlack], out: Out) -> None:
    columns = [matrix.column(one) for one in document.letters(list(facts), matrix.base)]
    out.table(
        ("region", *(_head(matrix, column) for column in columns)),
        [
            *((row.title, *(_cell(matrix, row.id, column) for column in columns)) for row in matrix.rows),
            (for_use(use), *(column.verdicts.get(use, "-") for column in columns)),
        ],
    )
    out.line()
    for column in columns:
        name = compare_words.name(matrix, column)
        words = "base" if column.session == matrix.base else _reasons(matrix, column)
        out.line(f"{column.session}  {name}: {words}")
    out.line()
    out.table(
        ("no.", "D-max", "D-min", "range", "whitener b*", "skins dCh", "condition"),
        [
            (
                one.session,
                _two(one.dmax),
                _two(one.dmin),
                None if one.range is None else difference(one.range, 2, signed=False),
                whitener_cell(one.whitener),
                None if column.skins is None else measured(column.skins, column.skins_spread),
                one.why or one.condition,
            )
            for column, one in ((column, facts[column.session]) for column in columns)
        ],
        right=(0, 1, 2, 3, 4, 5),
    )
    out.line(f"Facts, no grades. In a lit room flare takes most of D-max and range. {DIFFERENCES}")
    out.line("Skins: their shift beyond that of real skin, under the worst light source of each session.")
    out.line()
    out.line(compare_words.review(matrix, use))
    if order := compare_words.in_order(matrix, use):
        out.line(order)
    steps = compare_words.separators(matrix, use)
    if steps:
        out.line("What would settle more:")
    for step in steps:
        out.line(f"  {step}")
    for caveat in matrix.caveats:
        out.line(caveat)
    out.line(compare_words.LEGEND)


def _reasons(matrix: Matrix, column: PrintColumn) -> str:
    """What differs from the base, region by region, without what is alike; a shared reason once."""
    titles = {row.id: lower_first(row.title) for row in matrix.rows}
    regions: dict[tuple[str, str], list[str]] = {}
    every = 0
    for row in matrix.rows:
        one = matrix.difference(row.id, matrix.base, column.session)
        every += one is not None
        if one is not None and one.word != "alike":
            regions.setdefault((one.word, because(one)), []).append(titles[row.id])
    found = [
        f"{'every region' if len(names) == every else listed(names)} {word}{f' ({reason})' if reason else ''}"
        for (word, reason), names in regions.items()
    ]
    return "; ".join(found) or "alike in every region, as far as looked and read"


def _head(matrix: Matrix, column: PrintColumn) -> str:
    return f"{column.session}, base" if column.session == matrix.base else str(column.session)


def _cell(matrix: Matrix, region: str, column: PrintColumn) -> str:
    value = column.values.get(region)
    if value is not None and value.agreement == "disagree":
        return "≠ see weigh"
    grade = value.grade() if value is not None else None
    number = "-" if grade is None else f"{grade:.1f}"
    one = matrix.difference(region, matrix.base, column.session)
    return number if one is None else f"{number} {one.word}"


def _plot(at: Bench, matrix: Matrix, args: Namespace) -> None:
    region = args.region or matrix.rows[0].id
    rows = {row.id: row for row in matrix.rows}
    if region not in rows:
        raise UsageProblem(NO_PICTURE, expected=f"a region: {', '.join(rows)}", found=quoted(region))
    order = document.letters([column.session for column in matrix.columns], matrix.base)
    curve = document.chosen(curves.laid_over(at, order, region), args.curve)
    text = document.picture(curve, document.names(matrix), rows[region].title)
    put_picture(args.plot, text)


def _progress(args: Namespace) -> Callable[[str], None]:
    """One line on a terminal; Ctrl+C stops, and what was done is kept."""
    if not sys.stderr.isatty():
        return lambda words: None

    def tell(words: str) -> None:
        print(f"\r{words.partition(' Esc')[0]}\x1b[K", end="", file=sys.stderr, flush=True)

    return tell


def _two(value: float | None) -> str | None:
    return None if value is None else f"{value:.2f}"
