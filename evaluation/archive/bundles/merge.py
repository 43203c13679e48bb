"""Bundles into an archive: all of them or nothing, in one transaction."""

import contextlib
import sqlite3
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from evaluation.archive import entries
from evaluation.archive.bundles import undoing
from evaluation.archive.bundles.differences import differences
from evaluation.archive.bundles.nouns import Choice, Merged
from evaluation.archive.bundles.opened import NOT_MERGED, Bundle, opened, problem
from evaluation.archive.bundles.taking import Taking
from evaluation.archive.connection import Archive
from evaluation.archive.sessions import Summarise
from evaluation.archive.upkeep import Progress, untold, within
from evaluation.errors import DrydownError


class _OnlyAsked(Exception):
    """Ends a dry run: what it wrote is given up."""


def merge(
    archive: Archive,
    files: Sequence[Path],
    now: datetime,
    summarise: Summarise,
    *,
    dry_run: bool = False,
    choices: Sequence[Choice] = (),
    progress: Progress = untold,
) -> Merged:
    """Take in what bundles hold and the archive does not; on disk when this returns. What is here stays.

    With `dry_run` nothing is kept. `choices` are made of what differs, as far as it still does, and are taken
    back together with the merge. A merge that brings anything keeps a copy of the archive as it was beside it
    (`undoing.undo`). `progress` is told of documents and sessions, and may raise to stop.

    Raises ArchiveProblem, with nothing taken, for a bundle that is refused (`opened.opened`) or does not
    agree with the archive.
    """
    merged = Merged((), 0, 0, 0, ())
    with contextlib.ExitStack() as stack:
        looking, taking = within(progress, 0, 45), within(progress, 45, 90)
        copying = within(progress, 90, 100)
        bundles = [
            stack.enter_context(opened(path, _of(looking, place, files))) for place, path in enumerate(files)
        ]
        with contextlib.suppress(_OnlyAsked), archive.transaction() as connection:
            found = [
                _one(archive, connection, bundle, now, summarise, _of(taking, place, files))
                for place, bundle in enumerate(bundles)
            ]
            merged = _together(archive, found)
            if dry_run or not merged.anything:
                raise _OnlyAsked
            if fitting := [choice for choice in choices if choice.fits(merged.differences)]:
                for choice in fitting:
                    entries.say(archive, choice.difference.session, [choice.draft], now, summarise)
                merged = _together(archive, found)
            kept = undoing.keep(archive, connection, [path.name for path in files], now, copying)
            merged = replace(merged, kept=kept)
    if merged.kept:
        undoing.clear(archive)
    return merged


def _of(progress: Progress, place: int, files: Sequence[Path]) -> Progress:
    """The part of a bar that belongs to one of several files."""
    return within(progress, 100 * place // len(files), 100 * (place + 1) // len(files))


def _one(
    archive: Archive,
    connection: sqlite3.Connection,
    bundle: Bundle,
    now: datetime,
    summarise: Summarise,
    progress: Progress,
) -> Merged:
    try:
        return Taking(archive, connection, bundle, progress).done(now, summarise)
    except (
        sqlite3.IntegrityError,
        ValueError,
        TypeError,
        LookupError,
        AttributeError,
        RecursionError,
    ) as error:
        raise problem(bundle.path, "rows that no session can hold") from error
    except DrydownError as error:
        if error.what == NOT_MERGED or not error.found:
            raise
        raise problem(bundle.path, error.found) from error


def _together(archive: Archive, found: Sequence[Merged]) -> Merged:
    numbers = {each.number for one in found for each in one.sessions}
    return Merged(
        tuple(each for one in found for each in one.sessions),
        sum(one.documents for one in found),
        sum(one.rounds for one in found),
        sum(one.judgements for one in found),
        differences(archive, numbers) if numbers else (),
    )
