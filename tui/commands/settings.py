"""`drydown settings`: every value a weighing goes by, with its source and what you changed."""

from argparse import Namespace

from evaluation.work import calibrate, decisions, settings, studies
from evaluation.work.describe.begin import read_text
from evaluation.work.log import session
from tui.out import Out
from tui.place import bench, settings_path, settings_text
from tui.reports.calibration import words
from tui.reports.settings import report


def run(args: Namespace, out: Out) -> int:
    """Show all settings, and say where to change them."""
    if args.calibrate:
        return _calibrated(args, out)
    if args.from_decisions:
        return _decided(args, out)
    if args.sensitivity:
        return _sensitive(args, out)
    path = settings_path()
    text = settings_text()
    document = settings.document(settings.in_force(text, path.name))
    if out.as_json:
        out.result({**document, "file": str(path)})
    else:
        out.report(report(document, path, has_file=text is not None))
    return 0


def _calibrated(args: Namespace, out: Out) -> int:
    """The calibration as text for weighing.toml, its values in words before it."""
    name, *named = args.calibrate
    with bench(getattr(args, "archive", None)) as at:
        found = calibrate.calibration(at, [session(at, one).id for one in named])
        made = at.now().date()
    if out.as_json:
        out.result(calibrate.document(name, made, found))
        return 0
    for sentence in words(found, settings_path()):
        out.line(f"# {sentence}")
    for line in found.toml(name, made).splitlines():
        out.line(line)
    return 0


def _decided(args: Namespace, out: Out) -> int:
    """The limits of a verdict that decisions of one's own draw, as text for weighing.toml."""
    lines = read_text(args.from_decisions, "The decisions were not read.").splitlines()
    with bench(getattr(args, "archive", None)) as at:
        given = decisions.stated(lines, args.from_decisions.name)
        found = decisions.fitted(at, [(session(at, one).id, word) for one, word in given])
        made = at.now().date()
    if out.as_json:
        out.result(decisions.document(found, args.from_decisions.name, made))
        return 0
    out.line(f"# To use them, add these lines to {settings_path()}; to undo that, delete them.")
    for number in found.left_out:
        out.line(f"# Session {number} was left out: a key region has no grade.")
    for line in found.toml(args.from_decisions.name, made).splitlines():
        out.line(line)
    return 0


def _sensitive(args: Namespace, out: Out) -> int:
    """Limits that give other verdicts when a quarter higher or lower."""
    with bench(getattr(args, "archive", None)) as at:
        subject = session(at, args.sensitivity)
        moved = studies.sensitivity(at, subject.id)
    if out.as_json:
        out.result(studies.sensitivity_document(subject.id, moved))
        return 0
    if not moved:
        out.line(f"Session {subject.id}: no limit, a quarter higher or lower, gives another verdict.")
        return 0
    out.line(f"Session {subject.id}: limits that give another verdict when a quarter higher or lower.")
    out.table(
        ("limit", "is", "tried", "use", "verdict", "then"),
        [(one.name, one.value, one.tried, *verdict) for one in moved for verdict in one.verdicts],
    )
    out.line("These are worth a study of your own; no other limit that was tried moves a verdict.")
    out.line("Where a quarter reaches the most that a limit may be, half of the way there was tried.")
    return 0
