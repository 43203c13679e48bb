"""Sessions to somebody else and back: bundles made, merged and taken back."""

from collections.abc import Sequence
from pathlib import Path

from evaluation.archive.bundles import make as made
from evaluation.archive.bundles import merge as merged
from evaluation.archive.bundles import undoing
from evaluation.archive.bundles.came import Merged
from evaluation.archive.bundles.differences import Difference, differences
from evaluation.archive.bundles.make import Bundled
from evaluation.archive.bundles.undoing import Merging
from evaluation.errors import UsageProblem
from evaluation.said import Draft
from evaluation.work.bench import Bench, drydown_version
from evaluation.work.say import Step, refuse_read_only, say, summarise


def make(
    bench: Bench, sessions: Sequence[int], file: Path, *, names: bool = True, pictures: bool = True
) -> Bundled:
    """Write these sessions, with what they lean on, to a new file. Raises as `archive.bundles.make`."""
    return made.make(
        bench.archive, sessions, file, bench.now(), drydown_version(), names=names, pictures=pictures
    )


def merge(bench: Bench, files: Sequence[Path], *, dry_run: bool = False) -> Merged:
    """Take bundles in, all or none; with `dry_run` only say what would come.

    Raises as `archive.bundles.merge.merge`.
    """
    refuse_read_only(bench)
    return merged.merge(bench.archive, files, bench.now(), summarise(bench), dry_run=dry_run)


def undo(bench: Bench) -> Merging:
    """Put back what was there before the last merge. Raises UsageProblem where something would be lost."""
    refuse_read_only(bench)
    return undoing.undo(bench.archive)


def open_differences(bench: Bench) -> tuple[Difference, ...]:
    """What was entered apart from each other, and nobody has chosen from yet."""
    return differences(bench.archive)


def choose(bench: Bench, place: int, version: int) -> Step:
    """Let one version of a difference count, as a new entry; both count from 1, in the order they are shown.

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
        draft = Draft(one.kind, one.subject, one.versions[version - 1].value, one.viewing)
        return say(bench, one.session, [draft])
