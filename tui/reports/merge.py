"""What a merge brought or would bring, and what is still to be chosen, as a report."""

import json
from collections.abc import Sequence

from evaluation.archive.bundles.nouns import Came, Divergence, Merged
from evaluation.plain_text import listed, shortened
from evaluation.telling.table import Table
from tui.reports import Block

_HEADS = ("session", "paper", "", "viewings", "readings", "entries", "undos", "remarks")


def merged(found: Merged, *, dry_run: bool) -> list[Block]:
    """What came; with `dry_run` what would come."""
    if not found.anything:
        return ["Nothing new: the archive has all of it already.", *differences(found.differences)]
    rows = tuple(_row(came) for came in found.sessions if came.anything)
    if dry_run:
        ending = "Nothing was merged yet."
    else:
        ending = f"Merged. The archive as it was is in {found.kept}; `drydown merge --undo` puts it back."
    return [
        Table("", _HEADS, rows, (3, 4, 5, 6)),
        *([f"Side by side: {found.rounds} rounds, {found.judgements} answers."] if found.judgements else []),
        *differences(found.differences),
        ending,
    ]


def differences(found: Sequence[Divergence]) -> list[Block]:
    """What was entered apart from each other; the version marked with * counts until one is chosen."""
    if not found:
        return []
    rows = tuple(
        (
            str(place) if number == 1 else "",
            str(one.session) if number == 1 else "",
            one.subject if number == 1 else "",
            f"{number}{'*' if number == len(one.versions) else ''}",
            "here" if version.here else "elsewhere",
            shortened(version.value if isinstance(version.value, str) else json.dumps(version.value), 40),
            f"{version.at:%Y-%m-%d %H:%M}",
        )
        for place, one in enumerate(found, start=1)
        for number, version in enumerate(one.versions, start=1)
    )
    note = (
        "The version marked * counts for now. `drydown merge --choose DIFFERENCE VERSION` lets another count."
    )
    heads = ("difference", "session", "subject", "version", "from", "value", "entered, UTC")
    return [Table("Entered differently here and elsewhere:", heads, rows, (0, 1), note)]


def remarks(came: Came) -> list[str]:
    """What is to be known of what a session gets beside the counts."""
    found = []
    if came.observers:
        found.append(f"by {listed(list(came.observers))}")
    if came.same_name:
        found.append(f"{listed(list(came.same_name))} looked here as well: counted as one person")
    if came.back:
        found.append("back on the list")
    if came.renumbered:
        found.append("viewings numbered anew by when they began")
    if came.sheet_differs:
        found.append("another sheet there; yours stays")
    return found


def _row(came: Came) -> tuple[str, ...]:
    counts = (came.viewings, came.readings, came.entries, came.undos)
    known = "new" if came.new else "known"
    return (str(came.number), came.paper, known, *map(str, counts), "; ".join(remarks(came)))
