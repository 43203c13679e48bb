"""`drydown gamut`: what profiles hold of a picture, then slices and hues, the volume last."""

from argparse import Namespace

from evaluation.work import gamut, settings
from tui.out import Out
from tui.place import settings_path, settings_text
from tui.reports.gamut import report


def run(args: Namespace, out: Out) -> int:
    """The report on all profiles named."""
    limits = settings.in_force(settings_text(), settings_path().name)
    found = gamut.gamuts(
        args.profiles,
        args.picture,
        compensation=not args.without_compensation,
        distance=limits["gamut_distance"],
        progress=out.progress(),
    )
    if out.as_json:
        out.result(gamut.document(found))
    else:
        out.report(report(found))
    return 0
