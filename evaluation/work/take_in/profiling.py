"""The profile against readings of patches printed unmanaged: those it was made from, and later ones.

Which is which is told by their dates: what was read before the profile was made went into it, what was read
after says whether the machine has moved since. Undated readings are held against neither.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from evaluation.judgement.clues.facts import UNKNOWN_PROFILE, ProfileFacts
from evaluation.profile.engine import Profile
from evaluation.profile.fit import Fit, profile_fit
from evaluation.readings.colours import colours
from evaluation.readings.run import Run, Taken, when_measured
from evaluation.readings.run_comparison import compare_runs

_UNDATED: Final = (
    "Readings of unmanaged patches without a date: not known whether the profile was made from them."
)


@dataclass(frozen=True, slots=True)
class Profiling:
    """How well the profile follows its own readings, what the causes may know of that, and caveats."""

    fit: Fit | None = None
    facts: ProfileFacts = UNKNOWN_PROFILE
    caveats: tuple[str, ...] = ()


def profiling(profile: Profile, takens: Sequence[Taken]) -> Profiling:
    """What unmanaged readings say of a profile, never of the picture. Those of another space are left out."""
    runs = [taken.run for taken in takens if of_a_profile(taken.run)]
    runs = [run for run in runs if run.device_space == profile.contents.device_space]
    made = _made(profile)
    before, after, undated = _by_date(runs, made)
    caveats = (_UNDATED,) if undated else ()
    if not before:
        return Profiling(caveats=caveats)
    source = max(before, key=len)
    assert source.device is not None
    fit = profile_fit(profile, source.device, colours(source).lab_d50)
    facts = ProfileFacts(
        condition=source.stated.condition,
        backing=source.stated.backing,
        fit_median=None if fit is None else fit.median,
        fit_p95=None if fit is None else fit.p95,
        moved=_moved(source, after),
    )
    return Profiling(fit, facts, caveats)


def of_a_profile(run: Run) -> bool:
    """Whether a run may speak of a profile: printed unmanaged, with its device values."""
    return run.printed_as == "unmanaged" and run.device is not None


def _made(profile: Profile) -> datetime | None:
    created = profile.contents.created
    return datetime.fromisoformat(created).replace(tzinfo=UTC) if created else None


def _by_date(runs: Sequence[Run], made: datetime | None) -> tuple[list[Run], list[Run], list[Run]]:
    """Runs read before the profile was made, after, and those of which that cannot be said."""
    before: list[Run] = []
    after: list[Run] = []
    undated: list[Run] = []
    for run in runs:
        at = run.stated.measured_at
        if made is None or at is None:
            undated.append(run)
        else:
            (before if at.astimezone(UTC) <= made else after).append(run)
    return before, after, undated


def _moved(source: Run, later: Sequence[Run]) -> float | None:
    """Mean dE00 between the readings a profile was made from and the newest later ones of equal patches.

    0 where the repeats of both explain it: then the machine stands still, however noisy the instrument. Only
    readings of one condition and backing are held against each other.
    """
    comparable = [run for run in later if _read_alike(run, source)]
    if not comparable:
        return None
    found = compare_runs(source, max(comparable, key=when_measured))
    if found is None or found.joined_by != "device values":
        return None
    return 0.0 if found.apart is False else found.mean


def _read_alike(one: Run, other: Run) -> bool:
    """Whether both were read in one condition, and on one backing as far as both say so."""
    backings = {one.stated.backing, other.stated.backing} - {None}
    return one.stated.condition == other.stated.condition and len(backings) < 2
