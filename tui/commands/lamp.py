"""`drydown lamp`: the report on a lamp, or the lights that go by a name."""

from argparse import Namespace

from evaluation.work import lamp
from evaluation.work.lamp import TELLS_NOT
from tui.out import Out
from tui.reports.lamp import names, report


def run(args: Namespace, out: Out) -> int:
    """Each lamp with its numbers, what they leave open and what ISO 3664 asks; without one, all names."""
    if not args.lamps:
        if out.as_json:
            out.result({"lights": list(lamp.names())})
        else:
            out.report([names()])
        return 0
    found = [lamp.lamp(word) for word in args.lamps]
    if out.as_json:
        out.result({"lamps": [lamp.document(one) for one in found], "tells_not": dict(TELLS_NOT)})
        return 0
    for one in found:
        out.report([*report(one), ""])
    return 0
