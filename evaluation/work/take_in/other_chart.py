"""Files of another sheet than the session's: reported before anything is kept, with the sheet that fits."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from evaluation.archive import documents
from evaluation.errors import FileProblem
from evaluation.plain_text import quoted
from evaluation.readings import match
from evaluation.readings.fitting import WHOLLY, Fitting, fits_better, fitting
from evaluation.readings.run import Run, Taken
from evaluation.readings.supplied import Doubtful, OpenQuestion
from evaluation.sheet import load
from evaluation.sheet.layout import Sheet
from evaluation.work.bench import Bench
from evaluation.work.describe import sheets
from evaluation.work.take_in.profiling import of_a_profile

_MOST_SHEETS: Final = 30  # maps looked at for one that fits better


def without(bench: Bench, sheet: Sheet, parts: Sequence[Taken], where: str, what: str) -> tuple[Taken, ...]:
    """The runs of a file that can be readings of this sheet, a few strays and all.

    Raises FileProblem when its largest is of another chart: the smaller ones, such as the greys under a
    second measurement condition, may be on both. Patches printed unmanaged are no sheet's.
    """
    problems = {
        part.run.part: found
        for part in parts
        if not of_a_profile(part.run) and (found := _problem(bench, sheet, part, where, what)) is not None
    }
    largest = max(parts, key=lambda part: len(part.run), default=None)
    if largest is not None and largest.run.part in problems:
        raise problems[largest.run.part]
    return tuple(part for part in parts if part.run.part not in problems)


def _problem(bench: Bench, sheet: Sheet, taken: Taken, where: str, what: str) -> FileProblem | None:
    """Why a run is not of this sheet; None when it can be."""
    here = fitting(taken)
    if here.share >= WHOLLY:
        return None
    if (ids := _ids_of_this_sheet(sheet, taken.run)) is not None:
        return FileProblem(
            what,
            where=f"{where}, {taken.run.part}" if taken.run.part else where,
            expected=f"the values that {quoted(sheet.title)} was drawn with",
            found=f"others beside {ids} of its ids",
            remedy="Take the map that was written beside the sheet you printed, or the file without its "
            "device columns if a program wrote its own into them.",
        )
    where = f"{where}, {taken.run.part}" if taken.run.part else where
    better = _better(bench, sheet, taken.run, here)
    if better is None and not here.is_another_chart:
        return None
    of_here = f"{here.placed:,} of its {here.patches:,} patches are of this sheet, by {here.matched_by}"
    if taken.run.device is None and here.matched_by in ("id", "name"):
        # Many charts call their fields by letter and number, as the sheet does: alike is not the same.
        of_here = f"{here.placed:,} of its {here.patches:,} {here.matched_by}s also stand on this sheet"
    expected = f"readings of {quoted(sheet.title)}"
    if better is None:
        return of_no_sheet(taken.run, where, what, expected, f"another chart ({of_here})")
    title, fit = better
    of_other = f"{fit.placed} are of {quoted(title)}, by {fit.matched_by}"
    return FileProblem(
        what,
        where=where,
        expected=expected,
        found=f"another chart ({of_here}; {of_other})",
        remedy="Take it in to a session of that sheet.",
    )


def of_no_sheet(run: Run, where: str, what: str, expected: str, found: str) -> Doubtful:
    """The refusal of a run that no known sheet fits, with what a person may say that lets it be read."""
    questions, remedies = [], ["Name the right file or session"]
    if run.device is None:
        questions.append(OpenQuestion("device_list", "the file that lists what was printed", ()))
        remedies.append("name the list that it was printed from with --with LIST")
    elif run.printed_as == "not stated":
        asked = "printed without a profile, for profiling"
        questions.append(OpenQuestion("printed_as", asked, ("unmanaged",), "not stated"))
        remedies.append("say --unmanaged where it is profiling data")
    remedies.append("leave rows of other charts out of the file")
    *first, last = remedies
    remedy = f"{', '.join(first)}, or {last}."
    return Doubtful(what, tuple(questions), where=where, expected=expected, found=found, remedy=remedy)


def _ids_of_this_sheet(sheet: Sheet, run: Run) -> int | None:
    """How many ids a run and its sheet share, where that is all of both and only the values differ."""
    if run.device is None:
        return None
    by_id = fitting(match.match(replace(run, device=None, device_space=None), sheet))
    same = by_id.matched_by == "id" and min(by_id.share, by_id.sheet_share) >= WHOLLY
    return by_id.placed if same else None


def _better(bench: Bench, sheet: Sheet, run: Run, here: Fitting) -> tuple[str, Fitting] | None:
    """Title of a known sheet that a run is plainly of, and how it fits."""
    for other in _known(bench):
        if other.digest == sheet.digest:
            continue
        fit = fitting(match.match(run, other))
        if fits_better(fit, here):
            return other.title, fit
    return None


def _known(bench: Bench) -> Iterator[Sheet]:
    """The built-in sheets, then those kept in the archive, newest first."""
    for name in (sheets.COLOUR, sheets.MONO, *sheets.EARLIER):
        yield load.read_map(load.map_text(name), name)
    for digest in documents.newest(bench.archive, "sheet", _MOST_SHEETS):
        if digest not in bench.sheets:
            name, content = documents.fetch(bench.archive, digest)
            bench.sheets[digest] = load.read_map(content.decode("utf-8"), name)
        yield bench.sheets[digest]
