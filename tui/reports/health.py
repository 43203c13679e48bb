"""What was found wrong or right, as a report: of the archive, and of a session's numbers."""

from typing import TYPE_CHECKING

from evaluation.archive.health import Health
from evaluation.telling.table import Table
from tui.reports import Block

if TYPE_CHECKING:  # numpy and colour-science, which the check of an archive does without
    from evaluation.work.numbers import Numbers


def archive(found: Health) -> list[Block]:
    """Whether the archive is sound."""
    return [
        f"{found.sessions} sessions, {found.entries} entries, {found.readings} readings, "
        f"{found.documents} documents in {found.size / 1e6:.1f} MB.",
        *found.troubles,
        "The archive is sound." if found.sound else "Go back to a backup, or keep a copy before you work on.",
    ]


def numbers(found: "Numbers") -> list[Block]:
    """Whether colour-science gets the numbers that we do."""
    rows = tuple(
        (one.what, str(one.numbers), f"{one.largest:.1g} {one.unit}", f"{one.limit:g}", one.where)
        for one in found.held
    )
    return [
        f"Session {found.session}: our numbers, and what colour-science makes of the same readings.",
        Table("", ("number", "compared", "apart at most", "limit", "where"), rows, (1,)),
        *([f"Left out until they are graded: {', '.join(found.waiting)}."] if found.waiting else []),
        *found.remarks,
        "They agree: no figure that is shown would change."
        if found.agree
        else "Some differ by more than the limit: please report this with the file of readings.",
    ]
