"""Read: a measurement file is looked at first, then taken in; values stay behind the gate."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from evaluation.archive import documents, held, runs, sessions
from evaluation.entry import Draft
from evaluation.errors import FileProblem, UsageProblem
from evaluation.plain_text import counted, listed, quoted
from evaluation.readings import detect, match
from evaluation.readings.fitting import fitting
from evaluation.readings.joined import with_device
from evaluation.readings.run import Run, Taken
from evaluation.readings.source import Source, load
from evaluation.readings.supplied import OpenQuestion, OpenQuestions, Supplied
from evaluation.readings.titles import titles
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.gate import is_open
from evaluation.work.log import Entered, refuse_read_only, say
from evaluation.work.take_in import other_chart, other_print
from evaluation.work.take_in.profiling import of_a_profile

NOT_TAKEN_IN = "The readings were not taken in."
_OF_THE_PROFILE = (
    "Patches printed unmanaged that are none of this sheet's: they judge the profile, not the picture."
)
_IN_ORDER = OpenQuestion(
    "by_order",
    "rows in the order of the sheet's patches",
    ("yes",),
    "as many rows as patches, and nothing that says which is which",
)
_AGAIN = "The same file is in already; it takes its own place."


@dataclass(frozen=True, slots=True, eq=False)
class Preview:
    """A file understood and matched, not yet kept. Facts of the file only: no value of any patch."""

    name: str
    content: bytes
    taken: tuple[Taken, ...]
    remarks: tuple[str, ...]


def preview(bench: Bench, session_id: int, path: Path, said: Supplied, *, kept_as: str = "") -> Preview:
    """Read and match a file; nothing is kept. `kept_as` is the digest of a file that only the archive has.

    Raises OpenQuestions where only the order of the rows can identify their patches and nobody consented to
    it; FileProblem when the file is of another chart, or no row belongs to the sheet, unless they are a
    profile's own, printed unmanaged; Doubtful, a FileProblem, where something said lets it be read.
    """
    session = sessions.load(bench.archive, session_id)
    source = _source(bench, path, kept_as)
    found = _found(source, said)
    kept, left = _of_this_sheet(bench, sheet_of(bench, session), path.name, found, said)
    if not said.anyway and not kept_as:
        other_print.refuse(bench, session.condition, titles(source), NOT_TAKEN_IN)
        other_print.refuse_earlier(session.condition.printed_at, kept, path.name, NOT_TAKEN_IN)
    remarks = tuple(dict.fromkeys(remark for part in kept for remark in (*part.run.remarks, *part.remarks)))
    if any(not part.matched for part in kept):
        remarks += (_OF_THE_PROFILE,)
    if left:
        remarks += (f"Left out, as not of this sheet: {left} of {counted(len(found), 'table')}.",)
    remarks += _of_one_condition(kept)
    return Preview(path.name, bytes(source.data), kept, (*remarks, *_in_already(bench, session_id, source)))


def _source(bench: Bench, path: Path, kept_as: str) -> Source:
    if kept_as:
        name, content = documents.fetch(bench.archive, kept_as)
        return Source(name, content, kept_as)
    held.refuse(path, NOT_TAKEN_IN)
    return load(path)


def _found(source: Source, said: Supplied) -> tuple[Run, ...]:
    """The runs of a file; with the device values of another file where a person names one."""
    found = detect.measured_in(source, said)
    if said.device_list is None:
        return found
    held.refuse(said.device_list, NOT_TAKEN_IN)
    listing = replace(Supplied(), rgb_scale=said.rgb_scale, ink_scale=said.ink_scale, decimal=said.decimal)
    lists = detect.runs_in(load(said.device_list), listing)
    printed = max((run for run in lists if run.device is not None), key=len, default=None)
    if printed is None:
        raise FileProblem(
            NOT_TAKEN_IN,
            where=said.device_list.name,
            expected="a list of patches with their device values",
            found="no device values",
            remedy="Name the list that this chart was printed from.",
        )
    return tuple(with_device(run, printed, by_order=said.by_order) for run in found)


def _of_this_sheet(
    bench: Bench, sheet: Sheet, name: str, found: Sequence[Run], said: Supplied
) -> tuple[tuple[Taken, ...], int]:
    """The runs that can be kept, matched to the sheet, and how many are left out. Raises as `preview`."""
    by_order = said.by_order and said.device_list is None
    taken = tuple(match.match(run, sheet, by_order=by_order) for run in found)
    # Fields of a chart may go by the names of patches of the sheet: that makes them none of these.
    taken = tuple(
        match.unmatched(part, sheet) if of_a_profile(part.run) and fitting(part).is_another_chart else part
        for part in taken
    )
    kept = tuple(part for part in taken if part.matched or of_a_profile(part.run))
    if not by_order:
        kept = other_chart.without(bench, sheet, kept, name, NOT_TAKEN_IN)
    if not kept and any(len(run) == len(sheet.patches) and _unnamed(run) for run in found):
        raise OpenQuestions(name, (_IN_ORDER,))
    if not kept:
        expected = f"rows that are some of the {len(sheet.patches)} patches of {quoted(sheet.title)}"
        rows = sum(len(run) for run in found)
        nothing = f"{counted(rows, 'row that matches', 'rows that match')} none of them"
        raise other_chart.of_no_sheet(max(found, key=len), name, NOT_TAKEN_IN, expected, nothing)
    return kept, len(taken) - len(kept)


def _in_already(bench: Bench, session_id: int, source: Source) -> tuple[str, ...]:
    """Remarks on a file that is in: in this session, or in others."""
    inside = runs.with_file(bench.archive, source.digest)
    here = (_AGAIN,) if runs.of_file(bench.archive, session_id, source.digest) else ()
    if others := [f"session {number}" for number in inside if number != session_id]:
        return (*here, f"The same file is in {listed(others)} too; its readings count in each.")
    return here


def _unnamed(run: Run) -> bool:
    """Whether no row says which patch it is: neither an id, beyond its own number, nor a name."""
    return not any(
        ref.name or ref.id not in ("", str(row), str(row + 1)) for row, ref in enumerate(run.patches)
    )


def _of_one_condition(kept: Sequence[Taken]) -> tuple[str, ...]:
    """A remark on tables of the same patches that may well be of several conditions, not stated."""
    silent = [part for part in kept if part.run.stated.condition is None]
    ids = [frozenset(ref.id for ref in part.run.patches) for part in silent]
    alike = max((sum(1 for other in ids if other == each) for each in ids), default=0)
    if alike < 2:
        return ()
    return (
        f"{alike} tables hold the same patches and state no measurement condition: they would count as "
        "repeats of one another. If they are M0, M1 and M2, put MEASUREMENT_CONDITION into each table.",
    )


def take_in(bench: Bench, session_id: int, what: Preview) -> Entered:
    """Keep the file and its runs, in one transaction and one entry of the undo.

    The same file is never in twice: what it gave before is left out first, an entry of its own.
    """
    refuse_read_only(bench)
    settled = [match.settled(part) for part in what.taken]
    with bench.archive.joined():
        before = runs.of_file(bench.archive, session_id, documents.digest_of(what.content))
        if before:
            say(bench, session_id, [Draft("readings", str(run_id), "out") for run_id in before])
        ids = runs.keep(bench.archive, session_id, settled, bench.now(), source=(what.name, what.content))
        return say(bench, session_id, [Draft("readings", str(run_id), "in") for run_id in ids])


def leave_out(bench: Bench, session_id: int, run_id: int) -> Entered:
    """Take a run out of the session; undo brings it back."""
    if run_id not in sessions.load(bench.archive, session_id).runs:
        raise UsageProblem(f"Readings {run_id} are not in this session.", remedy="Nothing was changed.")
    return say(bench, session_id, [Draft("readings", str(run_id), "out")])


def taken_in(bench: Bench, session: Session) -> tuple[Taken, ...]:
    """The runs of a session as it was loaded, matched as they were when they were taken in."""
    sheet = sheet_of(bench, session)
    return tuple(match.kept(run, sheet) for run in runs.these(bench.archive, session.runs))


def waiting(session: Session, sheet: Sheet, taken: Sequence[Taken]) -> tuple[str, ...]:
    """Ids of regions that have readings which may not be shown yet."""
    read = {sheet.patch(patch).region for part in taken for patch in part.matched}
    return tuple(region.id for region in sheet.regions if region.id in read and not is_open(session, region))


def reveal(bench: Bench, session_id: int, regions: Sequence[str]) -> Entered:
    """Record that the readings of these regions are shown before their grade. It cannot be undone."""
    session = sessions.load(bench.archive, session_id)
    viewing = session.viewing.id if session.viewing else None
    return say(bench, session_id, [Draft("reveal", region, True, viewing) for region in regions])


def without_values(run: Run) -> str:
    """One line about a run that gives no measured value away."""
    condition = run.stated.condition or "condition not stated"
    kind = (
        f"spectra {run.wavelengths[0]:g} to {run.wavelengths[-1]:g} nm"
        if run.wavelengths is not None
        else ("CIELAB" if run.lab is not None else "XYZ")
    )
    printed = "way of printing not stated" if run.printed_as == "not stated" else f"printed {run.printed_as}"
    return f"{counted(len(run), 'reading')}, {condition}, {kind}, {printed}"
