"""Files of readings as Read offers them: where to look, what lies there, which are in. No values."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from evaluation.archive import documents, habits, runs
from evaluation.archive.runs import RunHead
from evaluation.entry import Draft
from evaluation.errors import DrydownError, UsageProblem
from evaluation.plain_text import counted, listed
from evaluation.profile.carried import carried, carries
from evaluation.session import Session
from evaluation.system_words import unread
from evaluation.work.bench import Bench
from evaluation.work.log import Entered, say

_FOLDER_HABIT: Final = "folder of readings"
_ENDINGS: Final = (".txt", ".csv", ".tsv", ".cgats", ".cxf", ".xml")
_PROFILES: Final = (".icc", ".icm")  # offered where they carry the readings they were made from
_MOST_LISTED: Final = 500


@dataclass(frozen=True, slots=True)
class Candidate:
    """A file that may hold readings, judged by its ending; a profile by a glance at its tags."""

    path: Path
    modified: datetime
    size: int
    kept_as: str = ""  # digest of one that the archive has


def folder(bench: Bench, watched: Path | None) -> Path:
    """Where to look: the watched folder, the one used last, one beside the archive, the current."""
    if watched is not None:
        return watched
    kept = habits.recall(bench.archive, _FOLDER_HABIT)
    beside = bench.archive.path.with_name(f"{bench.archive.path.stem}-readings")
    for path in (Path(kept) if isinstance(kept, str) else None, beside):
        if path is not None and path.is_dir():
            return path
    return Path.cwd()


def remember_folder(bench: Bench, path: Path) -> None:
    """Look there next time. An archive that can only be looked at remembers nothing."""
    if not bench.archive.read_only:
        habits.remember(bench.archive, _FOLDER_HABIT, str(path.absolute()))


def candidates(path: Path) -> tuple[Candidate, ...]:
    """Files of a folder that may hold readings, newest first. Raises UsageProblem."""
    try:
        found = [
            Candidate(each, datetime.fromtimestamp(told.st_mtime, UTC), told.st_size)
            for each in path.iterdir()
            if each.suffix.lower() in (*_ENDINGS, *_PROFILES) and each.is_file()
            for told in (each.stat(),)
            if each.suffix.lower() in _ENDINGS or carries(each, told.st_mtime, told.st_size)
        ]
    except OSError as problem:
        told = unread(problem)
        raise UsageProblem(
            "The folder was not listed.", where=str(path), found=told.found, remedy=told.remedy
        ) from None
    return tuple(sorted(found, key=lambda each: (each.modified, each.path.name), reverse=True)[:_MOST_LISTED])


def own_profile(bench: Bench, session: Session) -> Candidate | None:
    """The profile kept with a session, where it carries readings that are not in; else None."""
    digest = session.condition.profile_digest
    if digest is None or runs.of_file(bench.archive, session.id, digest):
        return None
    name, content = documents.fetch(bench.archive, digest)
    try:
        if not carried(content, name):
            return None
    except DrydownError:
        return None
    return Candidate(Path(name), bench.now(), len(content), digest)


@dataclass(frozen=True, slots=True)
class TakenFile:
    """A file whose readings are in: the numbers of its runs, its name, a line that gives no value away."""

    runs: tuple[int, ...]
    name: str
    about: str
    unmanaged: bool  # printed as for profiling


def taken_files(bench: Bench, session: Session) -> tuple[TakenFile, ...]:
    """The files whose readings are in, in the order they came."""
    found: dict[str, list[RunHead]] = {}
    others = runs.elsewhere(bench.archive, session.id)
    for run in runs.heads(bench.archive, session.runs):
        found.setdefault(run.source or f"run {run.id}", []).append(run)
    return tuple(
        TakenFile(
            tuple(run.id for run in told),
            told[0].source_name or "typed by hand",
            _about(told) + in_others(others.get(told[0].source or "", ())),
            told[0].printed_as == "unmanaged",
        )
        for told in found.values()
    )


def in_others(sessions: Sequence[int]) -> str:
    """The sessions that a file is in besides this one, as the end of a line about it."""
    if not sessions:
        return ""
    return f", also in {'session' if len(sessions) == 1 else 'sessions'} {listed(list(map(str, sessions)))}"


def leave_out(bench: Bench, session_id: int, taken: TakenFile) -> Entered:
    """Take all runs of a file out of the session, in one entry of the undo."""
    return say(bench, session_id, [Draft("readings", str(run), "out") for run in taken.runs])


def _about(runs: Sequence[RunHead]) -> str:
    named = dict.fromkeys(run.condition or "condition not stated" for run in runs)
    conditions = " and ".join(named)
    printed = {"managed": "printed as a picture", "unmanaged": "printed unmanaged"}.get(
        runs[0].printed_as, ""
    )
    about = f"{counted(runs[0].count, 'reading')}, {conditions}"
    return f"{about}, {printed}" if printed else about
