"""What a file of readings states, a row each, and what a person says in its place. No values."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from evaluation.archive import sessions
from evaluation.errors import UsageProblem
from evaluation.plain_text import counted, lower_first, quoted
from evaluation.readings.age import age, day_alone
from evaluation.readings.run import CONDITIONS, Run
from evaluation.readings.stated import moment_said
from evaluation.readings.supplied import Supplied
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read
from evaluation.work.take_in.profiling import of_a_profile
from evaluation.work.take_in.read import Preview


@dataclass(frozen=True, slots=True)
class FileFact:
    """One row about a file: what, the value, a note. `field` names what a person can say about it, or "".

    `answers` are the usual ones, which a digit chooses; other text may be typed where `free`.
    """

    name: str
    value: str
    note: str = ""
    field: str = ""
    answers: tuple[str, ...] = ()
    free: bool = False


def facts(bench: Bench, session_id: int, preview: Preview) -> tuple[FileFact, ...]:
    """What a file states and how it fits the sheet: facts of the file, never a value of a patch."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    runs = [part.run for part in preview.taken]
    return (
        FileFact("format", runs[0].format, counted(len(runs), "table")),
        _condition(runs),
        _printed(runs),
        _stated(runs, "instrument", free=True),
        _stated(runs, "backing", ("white", "black"), free=True),
        _spectra(runs),
        _patches(preview, sheet),
        _repeats(preview),
        _odd(preview),
        _measured(runs),
        _made_profile(runs, session) if of_a_profile(runs[0]) else _age(runs, session),
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
    elif field == "device_list":
        value = Path(text).expanduser() if text else None
    elif field in ("by_order", "made_profile", "anyway"):
        value = text.casefold() == "yes"
    elif field == "measured_at":
        value = moment_said(text) if text else None
    elif field == "printed_as":
        value = text or "not stated"
    elif field == "condition" and text and text not in CONDITIONS:
        raise UsageProblem("Nothing was changed.", expected=", ".join(CONDITIONS), found=quoted(text))
    changed: Mapping[str, Any] = {field: value}
    return replace(said, **changed)


OPEN: Final = "a caveat unless stated"


def _condition(runs: Sequence[Run]) -> FileFact:
    found = [run.stated.condition for run in runs]
    if None in found:
        return FileFact("condition", "not stated", OPEN, "condition", tuple(CONDITIONS))
    named = " and ".join(dict.fromkeys(str(each) for each in found))
    by_user = any("condition" in run.stated.said_by_user for run in runs)
    return FileFact(
        "condition", named, "said by you" if by_user else "stated in the file", "condition", tuple(CONDITIONS)
    )


def _printed(runs: Sequence[Run]) -> FileFact:
    words = {"managed": "as a picture", "unmanaged": "unmanaged", "not stated": "not stated"}
    named = " and ".join(dict.fromkeys(words[run.printed_as] for run in runs))
    note = OPEN if "not stated" in named else ""
    return FileFact("printed", named, note, "printed_as", ("managed", "unmanaged"))


def _stated(
    runs: Sequence[Run], field: str, answers: tuple[str, ...] = (), *, free: bool = False
) -> FileFact:
    found = tuple(dict.fromkeys(getattr(run.stated, field) for run in runs))
    if found == (None,):
        return FileFact(field, "not stated", OPEN, field, answers, free)
    by_user = any(field in run.stated.said_by_user for run in runs)
    named = ", ".join(str(each) for each in found if each)
    return FileFact(field, named, "said by you" if by_user else "stated", field, answers, free)


def _spectra(runs: Sequence[Run]) -> FileFact:
    run = runs[0]
    if run.wavelengths is None:
        return FileFact("spectra", "none", "CIELAB as given" if run.lab is not None else "XYZ as given")
    nm = run.wavelengths
    step = f"{(nm[-1] - nm[0]) / max(1, len(nm) - 1):.3g}"
    return FileFact("spectra", f"{nm[0]:g} to {nm[-1]:g} nm, {step} nm", "CIELAB worked out from them")


def _patches(preview: Preview, sheet: Sheet) -> FileFact:
    part = preview.taken[0]
    if not part.matched:
        return FileFact(
            "patches", f"{len(part.run):,} of the profile's own", "of the machine, not the picture"
        )
    missing = len(part.unmatched_patches)
    notes = []
    if missing:
        notes.append(f"{missing} not in the file")
    if part.unmatched_rows:
        notes.append(f"{counted(len(part.unmatched_rows), 'row')} of no patch")
    return FileFact(
        "patches",
        f"{len(part.matched)} of {len(sheet.patches)} matched by {part.matched_by}",
        "; ".join(notes),
    )


def _odd(preview: Preview) -> FileFact:
    if not preview.remarks:
        return FileFact("looks odd", "nothing")
    return FileFact("looks odd", counted(len(preview.remarks), "remark"), "see below")


def _repeats(preview: Preview) -> FileFact:
    repeats = preview.taken[0].repeats
    if not repeats.patches or repeats.mcdm is None or repeats.p95 is None:
        return FileFact("read twice", "no patch", "spread by default")
    return FileFact(
        "read twice",
        counted(repeats.patches, "patch", "patches"),
        f"apart {repeats.mcdm:.1f} dE*ab, 95 % {repeats.p95:.1f}",
    )


def _measured(runs: Sequence[Run]) -> FileFact:
    found = next((run.stated.measured_at for run in runs if run.stated.measured_at), None)
    if found is None:
        return FileFact("measured", "not stated", OPEN, "measured_at", (), free=True)
    by_user = any("measured_at" in run.stated.said_by_user for run in runs)
    day = f"{found:%Y-%m-%d}" if day_alone(found) else f"{found:%Y-%m-%d %H:%M}"
    return FileFact(
        "measured", day, "said by you" if by_user else "stated in the file", "measured_at", (), True
    )


def _made_profile(runs: Sequence[Run], session: Session) -> FileFact:
    """Whether the profile was made from these readings: inside it, as a person says, or by the dates."""
    name, said = "profile from it", runs[0].stated.made_profile
    if session.condition.profile_digest is None:
        return FileFact(name, "not known", "no profile is kept with the session")
    if runs[0].source_digest == session.condition.profile_digest:
        return FileFact(name, "yes", "they stand inside it")
    if said is not None:
        return FileFact(name, "yes" if said else "no", "said by you", "made_profile", ("yes", "no"))
    return FileFact(name, "by the dates", "read before it, or within a day", "made_profile", ("yes", "no"))


def _age(runs: Sequence[Run], session: Session) -> FileFact:
    measured = next((run.stated.measured_at for run in runs if run.stated.measured_at), None)
    printed = session.condition.printed_at
    if measured is None or printed is None:
        return FileFact(
            "age of print", "not stated", "when it was measured" if measured is None else "when printed"
        )
    met = age(printed, measured)
    if met is None:
        return FileFact("age of print", "measured before it was printed", "one of the two times is wrong")
    if met.hours is None:
        return FileFact("age of print", f"{met.least:.0f} to {met.most:.0f} h", "only the day is stated")
    minutes = int(met.hours * 60)
    hours, rest = divmod(minutes, 60)
    told = f"{hours} h {rest} min" if 0 < hours < 48 else f"{hours // 24} days" if hours else f"{minutes} min"
    return FileFact("age of print", told, "not dry: a caveat" if hours < 24 else "")
