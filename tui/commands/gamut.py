"""`drydown gamut`: what profiles hold of a picture, settings stepped through, then slices, hues, volume."""

from argparse import Namespace
from pathlib import Path
from typing import Final

from evaluation.appendix.drawing import figures
from evaluation.errors import UsageProblem
from evaluation.judgement.settings_in_order import Series
from evaluation.telling import growth as words
from evaluation.work import settings
from evaluation.work.gamut import gamut, growth_document, of_sessions
from evaluation.work.log import session
from evaluation.work.onto_disk import put_picture, refuse_picture
from tui.out import Out
from tui.place import bench, settings_path, settings_text
from tui.reports.gamut import report

_NOTHING: Final = "Nothing was worked out."


def run(args: Namespace, out: Out) -> int:
    """The report on all profiles named, or on the settings of sessions."""
    if bool(args.profiles) == bool(args.sessions):
        raise UsageProblem(
            _NOTHING,
            expected="profiles, or --sessions",
            found="both" if args.profiles else "neither",
            remedy="Name the files of profiles, or sessions with profiling data.",
        )
    if args.plot is not None:
        refuse_picture(args.plot, overwrite=args.replace)
    found = _of_sessions(args, out) if args.sessions else _of_profiles(args, out)
    if args.csv or args.plot is not None:
        growth = _growth(found)
        if args.plot is not None:
            _plot(growth, args.plot)
        if args.csv:
            out.file(growth_document.as_csv(growth))
            return 0
    if out.as_json:
        out.result(gamut.document(found))
        return 0
    out.report(report(found))
    if args.plot is not None:
        out.line(f"Written: {args.plot}")
    return 0


def _of_profiles(args: Namespace, out: Out) -> gamut.Gamuts:
    limits = settings.in_force(settings_text(), settings_path().name)
    return gamut.gamuts(
        args.profiles,
        args.picture,
        compensation=not args.without_compensation,
        distance=limits["gamut_distance"],
        sheet_mean=limits["sheet_mean"],
        progress=out.progress(),
    )


def _of_sessions(args: Namespace, out: Out) -> gamut.Gamuts:
    with bench(getattr(args, "archive", None)) as at:
        ids = [session(at, each).id for each in args.sessions]
        compensation = not args.without_compensation
        found = of_sessions.of_sessions(
            at, ids, args.picture, compensation=compensation, progress=out.progress()
        )
        distance = settings.in_force(settings_text(), settings_path().name)["gamut_distance"]
    return gamut.Gamuts(None, compensation, distance, (), found)


def _growth(found: gamut.Gamuts) -> Series:
    if found.growth is None:
        raise UsageProblem(
            _NOTHING,
            expected="two profiles or more that enclose colours",
            found="fewer",
            remedy="Name two settings of one printer and paper, the lower first.",
        )
    return found.growth


def _plot(growth: Series, path: Path) -> None:
    """The last setting over the first, a panel a hue."""
    figure = words.slices(growth, growth.step(0, len(growth.settings) - 1))
    put_picture(path, figures.svg(figure))
