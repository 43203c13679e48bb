"""Sessions to somebody else and back: bundles made, merged and taken back."""

from collections.abc import Sequence
from pathlib import Path

from evaluation.archive.bundles import make as made
from evaluation.archive.bundles import merge as merged
from evaluation.archive.bundles import undoing
from evaluation.archive.bundles.differences import differences
from evaluation.archive.bundles.nouns import Bundled, Choice, Divergence, Merged, Merging
from evaluation.archive.upkeep import Progress, untold
from evaluation.entry import Entry
from evaluation.errors import UsageProblem
from evaluation.telling.entries import told
from evaluation.work.bench import Bench, drydown_version, sheet_of
from evaluation.work.log import Entered, refuse_read_only, say, session, summarise


def make(
    bench: Bench,
    sessions: Sequence[int],
    file: Path,
    *,
    names: bool = True,
    pictures: bool = True,
    progress: Progress = untold,
) -> Bundled:
    """Write these sessions, with what they lean on, to a new file. Raises as `archive.bundles.make`."""
    now, version = bench.now(), drydown_version()
    return made.make(
        bench.archive, sessions, file, now, version, names=names, pictures=pictures, progress=progress
    )


def also(bench: Bench, sessions: Sequence[int]) -> tuple[int, ...]:
    """The sessions that these refer to, which a bundle of them holds as well."""
    return made.leans_on(bench.archive, sessions)


def merge(
    bench: Bench,
    files: Sequence[Path],
    *,
    dry_run: bool = False,
    choices: Sequence[Choice] = (),
    progress: Progress = untold,
) -> Merged:
    """Take bundles in, all or none; with `dry_run` only list what would come in.

    Raises as `archive.bundles.merge.merge`.
    """
    refuse_read_only(bench)
    summary = summarise(bench)
    return merged.merge(
        bench.archive, files, bench.now(), summary, dry_run=dry_run, choices=choices, progress=progress
    )


def last(bench: Bench) -> Merging | None:
    """The merge that `undo` would take back; None without one."""
    return undoing.last(bench.archive)


def undo(bench: Bench) -> Merging:
    """Put back what was there before the last merge. Raises UsageProblem where something would be lost."""
    refuse_read_only(bench)
    return undoing.undo(bench.archive)


def open_differences(bench: Bench) -> tuple[Divergence, ...]:
    """Entries made independently on one subject, of which none has been chosen yet."""
    return differences(bench.archive)


def in_words(bench: Bench, one: Divergence) -> tuple[str, ...]:
    """Each version of a difference in words, in their order: "Paper: Rag 310"."""
    try:
        sheet = sheet_of(bench, session(bench, one.session))
    except UsageProblem:  # of a session that is to come
        sheet = None
    return tuple(
        told([Entry(0, one.kind, one.subject, each.value, each.at, 1, one.viewing, False)], sheet)
        for each in one.versions
    )


def decide(bench: Bench, choice: Choice) -> Entered:
    """Let the version that was chosen count, as a new entry. Raises UsageProblem where it is settled."""
    with bench.archive.joined():
        found = open_differences(bench)
        if not choice.fits(found):
            raise UsageProblem(
                "Nothing was chosen.",
                expected="a difference that is open",
                found="one that is settled by now",
            )
        return say(bench, choice.difference.session, [choice.draft])


def choose(bench: Bench, place: int, version: int) -> Entered:
    """Choose by numbers; both count from 1, in the order they are shown.

    Raises UsageProblem for a number that none has.
    """
    with bench.archive.joined():
        found = open_differences(bench)
        if not 1 <= place <= len(found) or not 1 <= version <= len(found[place - 1].versions):
            raise UsageProblem(
                "Nothing was chosen.",
                expected=f"a difference from 1 to {len(found)}, and one of its versions"
                if found
                else "a difference",
                found=f"{place} {version}" if found else "none left to choose from",
                remedy="`drydown merge` lists them." if found else "",
            )
        one = found[place - 1]
        return decide(bench, Choice(one, one.versions[version - 1].value))
