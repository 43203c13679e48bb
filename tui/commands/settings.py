"""`drydown settings`: every value a weighing goes by, with its source and what you changed."""

from argparse import Namespace

from evaluation.work import settings
from tui.out import Out
from tui.place import settings_path, settings_text
from tui.reports.settings import report


def run(args: Namespace, out: Out) -> int:
    """Show all settings, and say where to change them."""
    path = settings_path()
    text = settings_text()
    document = settings.document(settings.in_force(text, path.name))
    if out.as_json:
        out.result({**document, "file": str(path)})
    else:
        out.report(report(document, path, has_file=text is not None))
    return 0
