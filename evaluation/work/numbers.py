"""A session's colorimetry worked out again with colour-science, and how far the two are apart. Gated."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.archive import sessions
from evaluation.colorimetry import second_opinion
from evaluation.colorimetry.density import visual_density
from evaluation.colorimetry.difference import delta_e_76, delta_e_2000
from evaluation.colorimetry.illuminants import illuminants
from evaluation.colorimetry.inconstancy import DEFAULT_LIGHTS, Reflectances, adapted_lab
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.colorimetry.spectra import xyz_from_spectra
from evaluation.documents import checks as shape
from evaluation.errors import UsageProblem
from evaluation.readings.run import Run, Taken
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read
from evaluation.work.take_in.profiling import of_a_profile
from evaluation.work.weigh import weigh
from evaluation.work.weigh.weigh import gathered_of

Array = NDArray[np.float64]

_SPECTRA: Final = "CIELAB of spectra, D50"
_DENSITY: Final = "visual density"
_XYZ: Final = "CIELAB of XYZ, D50"
_AIM: Final = "difference from the aim"
# Half of the last digit that is shown anywhere; and what two rules of joining uneven bands may differ by
# (project's own choice).
_LIMITS: Final = {"dE*ab": 0.05, "density": 0.005, "dE00": 0.05}
_UNEVEN: Final = {"dE*ab": 1.0, "density": 0.02, "dE00": 0.05}


@dataclass(frozen=True, slots=True)
class Held:
    """One kind of number, worked out twice.

    numbers   how many were compared
    largest   the greatest difference between the two, in `unit`
    where     the reading it belongs to
    limit     up to which nothing that is shown could change
    """

    what: str
    unit: str
    numbers: int
    largest: float
    where: str
    limit: float

    @property
    def agrees(self) -> bool:
        return self.largest <= self.limit


@dataclass(frozen=True, slots=True)
class Numbers:
    """Every kind of number of one session. `waiting`: titles of regions left out until they are graded."""

    session: int
    held: tuple[Held, ...]
    waiting: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def agree(self) -> bool:
        return all(held.agrees for held in self.held)


def check_numbers(bench: Bench, session_id: int) -> Numbers:
    """Hold this session's colorimetry against colour-science. Regions without a grade are not computed.

    Raises UsageProblem where nothing was read, or nothing may be computed yet.
    """
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    taken = read.taken_in(bench, session)
    waiting = tuple(
        region.title for region in sheet.regions if region.id in read.waiting(session, sheet, taken)
    )
    shown = gate.visible_part(session, sheet, taken)
    found = [*_of_runs(shown), *_of_aims(bench, session, sheet, shown)]
    if not found:
        why = "its regions are not graded yet" if waiting else "nothing with a colour was read"
        raise UsageProblem(f"No number of session {session_id} was checked: {why}.")
    return Numbers(session_id, _gathered(found), waiting, _remarks(shown))


def document(found: Numbers) -> shape.Numbers:
    """The comparison as plain JSON values."""
    return {
        "session": found.session,
        "agree": found.agree,
        "numbers": [
            {
                "what": held.what,
                "unit": held.unit,
                "numbers": held.numbers,
                "largest": held.largest,
                "where": held.where,
                "limit": held.limit,
                "agrees": held.agrees,
            }
            for held in found.held
        ],
        "waiting": list(found.waiting),
        "remarks": list(found.remarks),
    }


def _of_runs(shown: Sequence[Taken]) -> Iterator[Held]:
    for part in shown:
        rows = sorted({row for matched in part.matched.values() for row in matched})
        if of_a_profile(part.run):
            rows = sorted({*rows, *part.unmatched_rows})
        if not rows:
            continue
        if part.run.spectra is not None and part.run.wavelengths is not None:
            yield from _of_spectra(part.run, rows, part.run.wavelengths, part.run.spectra[rows])
        elif part.run.xyz is not None:
            xyz = part.run.xyz[rows]
            apart = delta_e_76(lab_from_xyz(xyz), second_opinion.lab_from_xyz(xyz))
            yield from _held(_XYZ, "dE*ab", apart, _names(part.run, rows))


def _of_spectra(run: Run, rows: Sequence[int], nm: Array, spectra: Array) -> Iterator[Held]:
    names = _names(run, rows)
    even = second_opinion.is_even(nm)
    own = xyz_from_spectra(nm, spectra)
    other = second_opinion.lab_from_xyz(second_opinion.xyz_from_spectra(nm, spectra))
    yield from _held(_SPECTRA, "dE*ab", delta_e_76(lab_from_xyz(own), other), names, even)
    densities = visual_density(nm, spectra), second_opinion.visual_density(nm, spectra)
    known = np.isfinite(densities[0]) & np.isfinite(densities[1])
    apart = np.abs(np.where(known, densities[0], 0.0) - np.where(known, densities[1], 0.0))
    yield from _held(_DENSITY, "density", apart, names, even)
    measured = Reflectances(
        nm, spectra, spectra[int(own[:, 1].argmax())]
    )  # the lightest stands for the paper
    for name in DEFAULT_LIGHTS[1:]:
        ours, theirs = adapted_lab(measured, illuminants()[name]), second_opinion.adapted_lab(measured, name)
        yield from _held(f"CIELAB under {name}, CAT16", "dE*ab", delta_e_76(ours, theirs), names, even)


def _of_aims(bench: Bench, session: Session, sheet: Sheet, shown: Sequence[Taken]) -> Iterator[Held]:
    """dE00 of each patch from its aim, media-relative, as the list of patches shows it."""
    gathered = gathered_of(bench, session, sheet, shown, weigh.tables(bench))
    if gathered is None:
        return
    whole = gathered.whole
    reference, sample = whole.aim[whole.aimed], whole.measured[whole.aimed]
    names = [patch.name or patch.id for patch, aimed in zip(whole.patches, whole.aimed, strict=True) if aimed]
    apart = np.abs(delta_e_2000(reference, sample) - second_opinion.delta_e_2000(reference, sample))
    yield from _held(_AIM, "dE00", apart, names)


def _held(what: str, unit: str, apart: Array, names: Sequence[str], even: bool = True) -> Iterator[Held]:
    """The greatest of these differences; nothing where none of them is a number."""
    known = np.flatnonzero(np.isfinite(apart))
    if known.size:
        worst = int(known[apart[known].argmax()])
        limit = (_LIMITS if even else _UNEVEN)[unit]
        yield Held(what, unit, int(known.size), float(apart[worst]), names[worst], limit)


def _gathered(found: Sequence[Held]) -> tuple[Held, ...]:
    """One line a kind of number: the greatest difference of all runs against its own limit."""
    kinds: dict[str, Held] = {}
    for one in found:
        if (other := kinds.get(one.what)) is None:
            kinds[one.what] = one
            continue
        worse = max(one, other, key=lambda held: held.largest / held.limit)
        kinds[one.what] = replace(worse, numbers=one.numbers + other.numbers)
    return tuple(kinds.values())


def _names(run: Run, rows: Sequence[int]) -> list[str]:
    source = run.source_name or "typed"
    return [
        f"{source}, {run.patches[row].name or run.patches[row].id or run.patches[row].row}" for row in rows
    ]


def _remarks(shown: Sequence[Taken]) -> tuple[str, ...]:
    uneven = [
        part.run.source_name or "readings typed by hand"
        for part in shown
        if part.run.wavelengths is not None and not second_opinion.is_even(part.run.wavelengths)
    ]
    return tuple(
        f"{name}: its bands are not evenly spaced, so each of the two joins them by a rule of its own."
        for name in dict.fromkeys(uneven)
    )
