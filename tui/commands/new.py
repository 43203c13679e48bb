"""`drydown new`: begin a session from a condition file, or like an earlier one."""

import shlex
from argparse import Namespace
from importlib import resources
from pathlib import Path

from evaluation.errors import UsageProblem
from evaluation.work.bench import Bench
from evaluation.work.charts import kept
from evaluation.work.describe import begin, profiles, sheets
from evaluation.work.log import session
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
            expected="--from CONDITION.toml or PROFILE.icc, or --like SESSION",
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
    profile: bytes | None = None
    with bench(getattr(args, "archive", None), create=True) as at:
        if args.like is not None:
            made = begin.begin_like(at, session(at, args.like).id)
        else:
            condition, readiness, profile = begin.read_file(args.source)
            map_name, map_text = _own_map(args, at)
            made = begin.begin(
                at,
                condition,
                readiness,
                map_text=map_text,
                map_name=map_name,
                profile=profile,
                anyway=args.anyway,
            )
        offered = kept.offered(at, made)
    left = begin.left_out(made) if args.like is None else {}
    if args.like is None and made.condition.profile and made.condition.profile_digest is None:
        out.aside(f"{made.condition.profile} does not lie beside {args.source.name}: only its name is kept.")
    inside = profiles.made_from(profile, made.condition.profile) if profile else ""
    if inside:
        out.aside(
            f"{made.condition.profile} carries the readings it was made from, {inside}: "
            f"drydown read {made.id} {_beside(args.source, made.condition.profile)} takes them in."
        )
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


def _beside(source: Path | None, name: str) -> str:
    """The path of the profile, as a command takes it from here."""
    return shlex.quote(str(source.parent / name)) if source is not None else name
