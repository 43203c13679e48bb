"""What takes long about bundles, for threads: a bench of their own, and the one who is told how far it is."""

from collections.abc import Sequence
from pathlib import Path

from evaluation.archive.bundles.nouns import Bundled, Choice, Merged, Merging
from evaluation.work.bench import Bench
from evaluation.work.bundle import bundle
from tui.screens.base.slow import Tell


def looked(files: Sequence[Path], bench: Bench, tell: Tell) -> Merged:
    """What bundles would bring."""
    return bundle.merge(bench, files, dry_run=True, progress=tell)


def taken(files: Sequence[Path], choices: Sequence[Choice], bench: Bench, tell: Tell) -> Merged:
    """What bundles brought."""
    return bundle.merge(bench, files, choices=choices, progress=tell)


def undone(bench: Bench, _tell: Tell) -> Merging:
    """The merge that was taken back."""
    return bundle.undo(bench)


def made(ids: Sequence[int], path: Path, names: bool, pictures: bool, bench: Bench, tell: Tell) -> Bundled:
    """A bundle, written."""
    return bundle.make(bench, ids, path, names=names, pictures=pictures, progress=tell)
