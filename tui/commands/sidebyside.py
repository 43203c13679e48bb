"""`drydown sidebyside`: prints laid beside each other under letters, two at a time."""

from argparse import Namespace

from evaluation.errors import UsageProblem
from evaluation.plain_text import listed
from evaluation.telling import side_by_side as words
from evaluation.telling import triangle as triangle_words
from evaluation.work.bench import Bench
from evaluation.work.describe.begin import read_text
from evaluation.work.log import session
from evaluation.work.onto_disk import put
from evaluation.work.sidebyside import document, form, pages, sidebyside, triangle
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Draw rounds and print their form, write slips and paper form, record answers, or tell the result."""
    _refuse_together(args)
    with bench(getattr(args, "archive", None)) as at:
        ids = [session(at, reference).id for reference in args.sessions]
        prints = sidebyside.prints_of(at, ids)
        sidebyside.refuse_threes(prints, args.at_once)
        titles = {region.id: region.title for region in sidebyside.regions_of(at, prints, all_of=True)}
        if args.triangles is not None:
            return _triangles(at, ids, args, out)
        if args.source is not None:
            return _recorded(at, ids, args, out)
        if args.template or args.slips or args.form:
            return _drawn(at, ids, titles, args, out)
        if args.open:
            for one in sidebyside.waiting(at, ids, args.observer):
                sidebyside.open_letters(at, one)
        found = sidebyside.result(at, ids)
        regions = len(sidebyside.regions_of(at, prints, args.region))
    if out.as_json:
        out.result(document.document(found, titles))
        return 0
    for line in document.document(found, titles)["told"]:
        out.line(line)
    if not found.waiting and not found.regions:
        times = args.times or sidebyside.advised()
        out.line(words.before(len(ids), regions, times, args.at_once))
        out.line("--template draws the rounds and prints their form, --slips writes the letters to cut out.")
    return 0


def _refuse_together(args: Namespace) -> None:
    """Raise UsageProblem for options of which one would go unheard."""
    pages_asked = [name for name, path in (("--slips", args.slips), ("--form", args.form)) if path]
    ends = [name for name, given in (("--from", args.source), ("--open", args.open)) if given]
    draws = ["--template"] if args.template else []
    if args.triangles is not None and (others := [*draws, *ends, *pages_asked]):
        raise _unheard("--triangles by itself or with --right", f"{listed(others)} as well")
    if ends and pages_asked:
        raise _unheard(f"{ends[0]} by itself", f"{listed(pages_asked)} as well")
    if args.triangles is None and args.right is not None:
        raise _unheard("--triangles N with --right", "--right alone")


def _unheard(expected: str, found: str) -> UsageProblem:
    return UsageProblem("Nothing was done.", expected=expected, found=found)


def _triangles(at: Bench, ids: list[int], args: Namespace, out: Out) -> int:
    """What lies where in each triangle; with `--right`, what so many right answers show."""
    if args.right is None:
        order = triangle.drawn(at, ids, args.triangles)
        told = triangle_words.before(args.triangles)
    else:
        triangle.refuse_answers(args.triangles, args.right)
        order, told = (), triangle_words.told(args.triangles, args.right)
    if out.as_json:
        out.result(document.triangles(args.triangles, args.right, order, told))
        return 0
    out.report([*told, *(["", triangle_words.layout(order)] if order else [])])
    return 0


def _drawn(at: Bench, ids: list[int], titles: dict[str, str], args: Namespace, out: Out) -> int:
    """The form, the slips or both of the rounds that wait; they are drawn first where none does."""
    for path in (args.slips, args.form):
        if path is not None:
            pages.refuse(path, overwrite=args.replace)
    observer = args.observer or "observer 1"
    waiting = sidebyside.waiting(at, ids, observer)
    if not waiting:
        waiting = sidebyside.begin(
            at,
            ids,
            observer=observer,
            regions=args.region,
            times=args.times,
            ask=args.ask,
            at_once=args.at_once,
        )
        times = args.times or sidebyside.advised()
        out.aside(words.before(len(ids), len(waiting), times, args.at_once))
    if args.slips:
        put(args.slips, sidebyside.slips(at, waiting, titles), pages.NO_PAGES)
        out.aside(f"Written: {args.slips}. The lower half of a slip names its print: fold it under.")
    if args.form:
        put(args.form, pages.form(waiting, titles), pages.NO_PAGES)
        out.aside(f"Written: {args.form}")
    if args.template or out.as_json:
        out.template(form.blank_form(waiting, titles))
    return 0


def _recorded(at: Bench, ids: list[int], args: Namespace, out: Out) -> int:
    waiting = sidebyside.waiting(at, ids)
    given = form.read_form(read_text(args.source, form.NOT_RECORDED), args.source.name, waiting)
    after = form.record(at, given)
    many = sum(map(len, given.values()))
    if out.as_json:
        out.result({"rounds": [one.id for one in after], "answers": many})
        return 0
    out.line(f"Recorded: {many} answers, round {listed([str(one.id) for one in after])}.")
    for line in document.told(sidebyside.result(at, ids)):
        out.line(line)
    return 0
