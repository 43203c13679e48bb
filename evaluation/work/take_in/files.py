"""Files of readings as Read offers them: where to look, what lies there, what one states. No values."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from evaluation.archive import habits, runs, sessions
from evaluation.archive.runs import RunHead
from evaluation.errors import UsageProblem
from evaluation.plain_text import lower_first, quoted
from evaluation.readings.age import age
from evaluation.readings.run import CONDITIONS, Run
from evaluation.readings.supplied import Supplied
from evaluation.said import Draft
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.system_words import unread
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.say import Step, say
from evaluation.work.take_in import read
from evaluation.work.take_in.read import Preview

_FOLDER_HABIT: Final = "folder of readings"
_ENDINGS: Final = (".txt", ".csv", ".tsv", ".cgats", ".cxf", ".xml")
_MOST_LISTED: Final = 500


@dataclass(frozen=True, slots=True)
class Candidate:
    """A file that may hold readings, told by its ending only."""

    path: Path
    modified: datetime
    size: int


@dataclass(frozen=True, slots=True)
class Fact:
    """One row about a file: what, the value, a note. `field` names what a person can say about it, or "".

    `answers` are the usual ones, which a digit chooses; other text may be typed where `free`.
    """

    name: str
    value: str
    note: str = ""
    field: str = ""
    answers: tuple[str, ...] = ()
    free: bool = False


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
            if each.suffix.lower() in _ENDINGS and each.is_file()
            for told in (each.stat(),)
        ]
    except OSError as problem:
        told = unread(problem)
        raise UsageProblem(
            "The folder was not listed.", where=str(path), found=told.found, remedy=told.remedy
        ) from None
    return tuple(sorted(found, key=lambda each: (each.modified, each.path.name), reverse=True)[:_MOST_LISTED])


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
    for run in runs.heads(bench.archive, session.runs):
        found.setdefault(run.source or f"run {run.id}", []).append(run)
    return tuple(
        TakenFile(
            tuple(run.id for run in told),
            told[0].source_name or "typed by hand",
            _about(told),
            told[0].printed_as == "unmanaged",
        )
        for told in found.values()
    )


def leave_out(bench: Bench, session_id: int, taken: TakenFile) -> Step:
    """Take all runs of a file out of the session, in one entry of the undo."""
    return say(bench, session_id, [Draft("readings", str(run), "out") for run in taken.runs])


def _about(runs: Sequence[RunHead]) -> str:
    named = dict.fromkeys(run.condition or "condition not stated" for run in runs)
    conditions = " and ".join(named)
    printed = {"managed": "printed as a picture", "unmanaged": "printed unmanaged"}.get(
        runs[0].printed_as, ""
    )
    about = f"{runs[0].count} readings, {conditions}"
    return f"{about}, {printed}" if printed else about


def facts(bench: Bench, session_id: int, preview: Preview) -> tuple[Fact, ...]:
    """What a file states and how it fits the sheet: facts of the file, never a value of a patch."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    runs = [part.run for part in preview.taken]
    return (
        Fact("format", runs[0].format, _counted(len(runs), "table")),
        _condition(runs),
        _printed(runs),
        _stated(runs, "instrument", free=True),
        _stated(runs, "backing", ("white", "black"), free=True),
        _spectra(runs),
        _patches(preview, sheet),
        _repeats(preview),
        _odd(preview),
        _age(runs, session),
    )


def values_line(session: Session, sheet: Sheet, preview: Preview) -> str:
    """Which values stay out of sight, and why."""
    waiting = read.waiting(session, sheet, preview.taken)
    if not waiting:
        return "In sight: every region with readings has its grade."
    titles = {region.id: region.title for region in sheet.regions}
    names = ", ".join(lower_first(titles[region]) for region in waiting)
    count = "one region" if len(waiting) == 1 else f"{len(waiting)} regions"
    return f"Out of sight for {count} you have not graded yet: {names}."


def said_with(said: Supplied, field: str, answer: str) -> Supplied:
    """What a person says about the file, one field more. Raises UsageProblem for what it cannot mean."""
    text = " ".join(answer.split())
    value: Any = text or None
    if field in ("rgb_scale", "ink_scale", "xyz_scale", "first_nm", "step_nm"):
        try:
            value = float(text.replace(",", "."))
        except ValueError:
            raise UsageProblem("Nothing was changed.", expected="a number", found=quoted(text)) from None
    elif field == "columns":
        value = tuple(part.strip() for part in answer.split(","))
    elif field == "by_order":
        value = text.casefold() == "yes"
    elif field == "printed_as":
        value = text or "not stated"
    elif field == "condition" and text and text not in CONDITIONS:
        raise UsageProblem("Nothing was changed.", expected=", ".join(CONDITIONS), found=quoted(text))
    changed: Mapping[str, Any] = {field: value}
    return replace(said, **changed)


_OPEN: Final = "Enter to fill in; otherwise a caveat"


def _condition(runs: Sequence[Run]) -> Fact:
    found = [run.stated.condition for run in runs]
    if None in found:
        return Fact("condition", "not stated", _OPEN, "condition", tuple(CONDITIONS))
    named = " and ".join(dict.fromkeys(str(each) for each in found))
    by_user = any("condition" in run.stated.said_by_user for run in runs)
    return Fact(
        "condition", named, "said by you" if by_user else "stated in the file", "condition", tuple(CONDITIONS)
    )


def _printed(runs: Sequence[Run]) -> Fact:
    words = {"managed": "as a picture", "unmanaged": "unmanaged", "not stated": "not stated"}
    named = " and ".join(dict.fromkeys(words[run.printed_as] for run in runs))
    note = _OPEN if "not stated" in named else ""
    return Fact("printed", named, note, "printed_as", ("managed", "unmanaged"))


def _stated(runs: Sequence[Run], field: str, answers: tuple[str, ...] = (), *, free: bool = False) -> Fact:
    found = tuple(dict.fromkeys(getattr(run.stated, field) for run in runs))
    if found == (None,):
        return Fact(field, "not stated", _OPEN, field, answers, free)
    by_user = any(field in run.stated.said_by_user for run in runs)
    named = ", ".join(str(each) for each in found if each)
    return Fact(field, named, "said by you" if by_user else "stated", field, answers, free)


def _spectra(runs: Sequence[Run]) -> Fact:
    run = runs[0]
    if run.wavelengths is None:
        return Fact("spectra", "none", "CIELAB as given" if run.lab is not None else "XYZ as given")
    nm = run.wavelengths
    step = f"{(nm[-1] - nm[0]) / max(1, len(nm) - 1):.3g}"
    return Fact("spectra", f"{nm[0]:g} to {nm[-1]:g} nm, {step} nm", "CIELAB worked out from them")


def _patches(preview: Preview, sheet: Sheet) -> Fact:
    part = preview.taken[0]
    if not part.matched:
        return Fact("patches", f"{len(part.run):,} of the profile's own", "of the machine, not the picture")
    missing = len(part.unmatched_patches)
    notes = []
    if missing:
        notes.append(f"{missing} not in the file")
    if part.unmatched_rows:
        notes.append(f"{len(part.unmatched_rows)} rows are no patch")
    return Fact(
        "patches",
        f"{len(part.matched)} of {len(sheet.patches)} matched by {part.matched_by}",
        "; ".join(notes),
    )


def _odd(preview: Preview) -> Fact:
    if not preview.remarks:
        return Fact("looks odd", "nothing")
    return Fact("looks odd", _counted(len(preview.remarks), "remark"), "see below")


def _repeats(preview: Preview) -> Fact:
    repeats = preview.taken[0].repeats
    if not repeats.patches or repeats.mcdm is None or repeats.p95 is None:
        return Fact("read twice", "no patch", "spread by default")
    return Fact(
        "read twice",
        _counted(repeats.patches, "patch"),
        f"apart {repeats.mcdm:.1f} dE*ab, 95 % {repeats.p95:.1f}",
    )


def _age(runs: Sequence[Run], session: Session) -> Fact:
    measured = next((run.stated.measured_at for run in runs if run.stated.measured_at), None)
    printed = session.condition.printed_at
    if measured is None or printed is None:
        return Fact(
            "age of print", "not stated", "when it was measured" if measured is None else "when printed"
        )
    met = age(printed, measured)
    if met is None:
        return Fact("age of print", "measured before it was printed", "one of the two times is wrong")
    if met.hours is None:
        return Fact("age of print", f"{met.least:.0f} to {met.most:.0f} h", "only the day is stated")
    minutes = int(met.hours * 60)
    hours, rest = divmod(minutes, 60)
    told = f"{hours} h {rest} min" if 0 < hours < 48 else f"{hours // 24} days" if hours else f"{minutes} min"
    return Fact("age of print", told, "not dry: a caveat" if hours < 24 else "")


def _counted(count: int, word: str) -> str:
    if count == 1:
        return f"one {word}"
    return f"{count} {word}{'es' if word.endswith('ch') else 's'}"
