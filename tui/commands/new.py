"""`drydown new`: begin a session from a condition file, or like an earlier one."""

from argparse import Namespace
from importlib import resources

from evaluation.archive import held
from evaluation.errors import FileProblem, UsageProblem
from evaluation.system_words import unread
from evaluation.work.bench import Bench
from evaluation.work.charts import kept
from evaluation.work.describe import begin, sheets
from evaluation.work.say import session
from tui.out import Out, by_keys
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """Print the number of the session that was begun."""
    if args.template:
        out.template(resources.files("tui.commands").joinpath("condition.toml").read_text("utf-8"))
        return 0
    if args.source is None and args.like is None:
        raise UsageProblem(
            "No session was begun.",
            expected="--from CONDITION.toml, or --like SESSION",
            found="neither",
            remedy="drydown new --template prints a form to fill in.",
        )
    if args.like is not None and (args.sheet or args.sheet_code):
        raise UsageProblem(
            "No session was begun.",
            where="--like",
            expected="the sheet of the earlier session",
            found="another",
            remedy="Give --from CONDITION.toml with another sheet.",
        )
    with bench(getattr(args, "archive", None), create=True) as at:
        if args.like is not None:
            made = begin.begin_like(at, session(at, args.like).id)
        else:
            text = begin.read_text(args.source, begin.NOT_BEGUN)
            condition, readiness = begin.read_condition(text, args.source.name)
            map_name, map_text = _own_map(args, at)
            made = begin.begin(
                at,
                condition,
                readiness,
                map_text=map_text,
                map_name=map_name,
                profile=_profile(args, condition.profile),
            )
        offered = kept.offered(at, made)
    left = begin.left_out(made) if args.like is None else {}
    if args.like is None and made.condition.profile and made.condition.profile_digest is None:
        out.aside(f"{made.condition.profile} does not lie beside {args.source.name}: only its name is kept.")
    if left:
        out.aside(f"Left out: {by_keys(left)}.")
    for each in offered[:1]:
        out.aside(
            f"Profiling data of this printing condition: {each.about}. "
            f"drydown chart {made.id} --take-over {each.session} lets this session count them."
        )
    if out.as_json:
        out.result({"session": made.id, "left_out": left})
    else:
        out.line(str(made.id))
    return 0


def _own_map(args: Namespace, at: Bench) -> tuple[str, str | None]:
    """Name and text of the map that was named, by file or by the code on the sheet; else the usual one."""
    if args.sheet is not None:
        text = begin.read_text(args.sheet, begin.NOT_BEGUN)
        if args.sheet_code:
            sheets.refuse_other_code(sheets.checked_map(text, args.sheet.name), args.sheet_code)
        return args.sheet.name, text
    return sheets.by_code(at, args.sheet_code) if args.sheet_code else ("", None)


def _profile(args: Namespace, name: str) -> bytes | None:
    """The profile a condition names, when it lies beside the condition's file; its name alone otherwise."""
    path = args.source.parent / name
    if not name or not path.is_file():
        return None
    held.refuse(path, begin.NOT_BEGUN)
    try:
        return bytes(path.read_bytes())
    except OSError as problem:
        found, remedy = unread(problem)
        raise FileProblem(begin.NOT_BEGUN, where=str(path), found=found, remedy=remedy) from None
