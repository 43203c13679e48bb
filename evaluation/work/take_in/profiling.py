"""The profile against readings of patches printed unmanaged: those it was made from, and later ones.

Readings inside the profile are those it was made from, and so are those a person says so of. Else the dates
decide: what was read before the profile was made, or within a day of it, went into it, since clocks and time
zones of two programs differ; what was read later says whether the machine has moved since.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

from evaluation.archive.documents import digest_of
from evaluation.judgement.clues.facts import UNKNOWN_PROFILE, ProfileFacts
from evaluation.plain_text import listed, quoted
from evaluation.profile.engine import Profile
from evaluation.profile.fit import Fit, profile_fit
from evaluation.readings.colours import colours
from evaluation.readings.run import Run, Taken, when_measured
from evaluation.readings.run_comparison import compare_runs

_SAME_DAY: Final = timedelta(days=1)  # project's own choice
_NOT_KNOWN: Final = "How well the profile follows its profiling data is not known"
_SAY_SO: Final = "If the profile was made from them, say so in Read, or with read --made-from-these."


@dataclass(frozen=True, slots=True)
class Profiling:
    """How well the profile follows its own readings, what the causes may know of that, and caveats."""

    fit: Fit | None = None
    facts: ProfileFacts = UNKNOWN_PROFILE
    caveats: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Told:
    """Runs the profile was made from, those read later, and those that may be either."""

    before: tuple[Run, ...]
    after: tuple[Run, ...]
    undated: tuple[Run, ...]


def profiling(profile: Profile | None, takens: Sequence[Taken]) -> Profiling:
    """What unmanaged readings say of a profile, never of the picture; None where the session keeps none.

    Where there are such readings and no fit can be told of them, a caveat says why.
    """
    every = [taken.run for taken in takens if of_a_profile(taken.run)]
    if not every:
        return Profiling()
    if profile is None:
        return _unknown("no profile is kept with this session.")
    space = profile.contents.device_space
    runs = [run for run in every if run.device_space == space]
    if not runs:
        return _unknown(f"{_named(every)} holds {_spaces(every)} values, and the profile is for {space}.")
    told = _by_date(runs, profile)
    if not told.before:
        return _unknown(_why(told, profile))
    source = max(told.before, key=len)
    assert source.device is not None
    fit = profile_fit(profile, source.device, colours(source).lab_d50)
    facts = ProfileFacts(
        condition=source.stated.condition,
        backing=source.stated.backing,
        fit_median=None if fit is None else fit.median,
        fit_p95=None if fit is None else fit.p95,
        moved=_moved(source, told.after),
    )
    nothing = f"{_NOT_KNOWN}: no row of {_named([source])} has both a colour and device values."
    return Profiling(fit, facts, () if fit is not None else (nothing,))


def of_a_profile(run: Run) -> bool:
    """Whether a run may speak of a profile: printed unmanaged, with its device values."""
    return run.printed_as == "unmanaged" and run.device is not None


def _unknown(why: str) -> Profiling:
    return Profiling(caveats=(f"{_NOT_KNOWN}: {why}",))


def _named(runs: Sequence[Run]) -> str:
    """The files of runs, for a sentence."""
    return listed([quoted(name) for name in dict.fromkeys(run.source_name for run in runs)])


def _spaces(runs: Sequence[Run]) -> str:
    return listed(list(dict.fromkeys(run.device_space or "unnamed" for run in runs)))


def _made(profile: Profile) -> datetime | None:
    created = profile.contents.created
    return datetime.fromisoformat(created).replace(tzinfo=UTC) if created else None


def _by_date(runs: Sequence[Run], profile: Profile) -> _Told:
    """Runs sorted by what is certain, where anything is, and by their dates."""
    made, inside = _made(profile), digest_of(profile.content)
    certain = [run for run in runs if run.source_digest == inside or run.stated.made_profile]
    before: list[Run] = []
    after: list[Run] = []
    undated: list[Run] = []
    for run in runs:
        at = run.stated.measured_at
        if run in certain:
            before.append(run)
        elif run.stated.made_profile is False:
            after.append(run)
        elif made is None or at is None:
            undated.append(run)
        elif at.astimezone(UTC) > made + _SAME_DAY:
            after.append(run)
        elif not certain:
            before.append(run)
    return _Told(tuple(before), tuple(after), tuple(undated))


def _why(told: _Told, profile: Profile) -> str:
    """Why none of the readings counts as what the profile was made from."""
    if told.undated and _made(profile) is None:
        return f"the profile states no date of its own to hold against {_named(told.undated)}. {_SAY_SO}"
    if told.undated:
        return f"{_named(told.undated)} states no date of measurement. {_SAY_SO}"
    newest = max(told.after, key=when_measured)
    at = newest.stated.measured_at
    read = f", on {at:%Y-%m-%d}," if at is not None else ""
    return (
        f"{_named(told.after)} was read{read} after the profile was made, on "
        f"{profile.contents.created[:10]}. {_SAY_SO}"
    )


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
