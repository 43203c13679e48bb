"""Settings stepped through from the archive: profiling data and profiles kept with sessions."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from evaluation.archive import charts as kept
from evaluation.archive import documents, runs, sessions
from evaluation.errors import DrydownError, UsageProblem
from evaluation.judgement.charts_offered import OF_THE_MACHINE
from evaluation.judgement.settings_in_order import Series
from evaluation.plain_text import listed
from evaluation.profile.engine import Profile, open_profile
from evaluation.profile.gamut import gamut_mesh
from evaluation.profile.out_of_gamut import picture_share
from evaluation.profile.picture_colours import PictureColours, Progress, picture_colours
from evaluation.readings.chart import best
from evaluation.readings.run import Run
from evaluation.session import PrintingCondition, Session
from evaluation.work.bench import Bench
from evaluation.work.gamut.series import Known, series
from evaluation.work.take_in.profiling import of_a_profile
from evaluation.work.weigh.weigh import tables

NOT_STEPPED: Final = "The settings were not stepped through."
_NOT_ALONE: Final = (
    "Not every setting has a profile of its own, so what they hold of a picture cannot be held against each "
    "other."
)
_NEEDED: Final = "Each needs profiling data of the same patches, or a profile."
_SEEN: Final = ("M1", "M0", None, "M2", "M3")
_Machine = tuple[str, ...]


def of_sessions(
    bench: Bench,
    session_ids: Sequence[int],
    picture: Path | None = None,
    *,
    compensation: bool = True,
    progress: Progress | None = None,
) -> Series:
    """The settings of these sessions, in their order; sessions of one setting are sheets of it.

    `progress(done, total, name)` may raise to stop. Raises UsageProblem where there are fewer than two
    settings, or one of them has neither profiling data nor a profile.
    """
    found = [sessions.load(bench.archive, number) for number in dict.fromkeys(session_ids)]
    grouped: dict[_Machine, list[Session]] = {}
    for session in found:
        grouped.setdefault(_machine(session.condition), []).append(session)
    if len(grouped) < 2:
        raise UsageProblem(
            NOT_STEPPED,
            expected="sessions that differ in quality, media setting or another field of the machine",
            found="one setting",
            remedy="Name sessions of two settings or more, the base first.",
        )
    read = {session.id: _unmanaged(bench, session) for session in found}
    shared = _shared_condition(read.values())
    colours = None if picture is None else picture_colours(picture, progress)
    in_force = tables(bench)
    names = _names([each[0].condition for each in grouped.values()])
    profiles = [_profile(bench, of_one) for of_one in grouped.values()]
    alone = len({one.content for one in profiles if one is not None}) == len(grouped)
    known = []
    for done, (name, of_one, profile) in enumerate(zip(names, grouped.values(), profiles, strict=True)):
        if progress:
            progress(done, len(grouped), name)
        taken = tuple(run for session in of_one if (run := _one(read[session.id], shared)) is not None)
        held = colours if alone else None
        known.append(
            _known(name, of_one[0].id, profile, held, taken, in_force["gamut_distance"], compensation)
        )
    made = series(
        known,
        _groups(bench, found[0], shared),
        sheet_mean=in_force["sheet_mean"],
        picture="" if colours is None else colours.name,
        compensation=compensation,
    )
    if made is None:
        bare = [str(one.session) for one in known if not one.runs and one.mesh is None]
        lacking = f"none in session {listed(bare)}" if bare else "patches that differ from session to session"
        raise UsageProblem(
            NOT_STEPPED, expected="profiling data of the same RGB patches, or profiles", found=lacking,
            remedy=_NEEDED,
        )  # fmt: skip
    if alone or all(one is None for one in profiles):
        return made
    return replace(made, remarks=(*made.remarks, _NOT_ALONE))


def _known(
    name: str,
    session: int,
    profile: Profile | None,
    colours: PictureColours | None,
    taken: tuple[Run, ...],
    distance: float,
    compensation: bool,
) -> Known:
    mesh = None if profile is None else gamut_mesh(profile)
    outside = None
    if profile is not None and mesh is not None and colours is not None:
        share = picture_share(profile, mesh, colours, compensation=compensation, distance=distance)
        outside = share.outside
    return Known(name, session, profile, mesh, outside, taken)


def _machine(condition: PrintingCondition) -> _Machine:
    return tuple(getattr(condition, field).casefold().strip() for field in OF_THE_MACHINE)


def _names(conditions: Sequence[PrintingCondition]) -> list[str]:
    """How the settings differ: the values of the fields that are not the same in all."""
    apart = [field for field in OF_THE_MACHINE if len({getattr(one, field) for one in conditions}) > 1]
    return [
        ", ".join(filter(None, (getattr(one, field) for field in apart))) or "not stated"
        for one in conditions
    ]


def _unmanaged(bench: Bench, session: Session) -> list[Run]:
    every = runs.of_session(bench.archive, session.id)
    return [run for run in every if of_a_profile(run) and run.device_space == "RGB"]


def _shared_condition(read: Iterable[Sequence[Run]]) -> str | None:
    """The measurement condition under which all were read, M1 before others; None: not stated."""
    each = [{run.stated.condition for run in found} for found in read if found]
    shared = set.intersection(*each) if each else set()
    return next((one for one in _SEEN if one in shared), None)


def _one(found: Sequence[Run], condition: str | None) -> Run | None:
    return best([run for run in found if run.stated.condition == condition])


def _groups(bench: Bench, of_printer: Session, condition: str | None) -> Iterator[list[Run]]:
    """Sheets of one setting each, of every setting of the printer that was read more than once."""
    printer = of_printer.condition.printer.casefold().strip()
    groups: dict[_Machine, list[Session]] = {}
    for number in sorted({head.session for head in kept.heads(bench.archive)}):
        session = sessions.load(bench.archive, number)
        if session.condition.printer.casefold().strip() == printer:
            groups.setdefault(_machine(session.condition), []).append(session)
    for found in groups.values():
        if len(found) > 1:
            taken = [_one(_unmanaged(bench, session), condition) for session in found]
            yield [run for run in taken if run is not None]


def _profile(bench: Bench, of_one: Sequence[Session]) -> Profile | None:
    """The newest profile that was kept with sheets of one setting and can be opened."""
    for session in reversed(of_one):
        digest = session.condition.profile_digest
        if digest is not None:
            try:
                return open_profile(documents.fetch(bench.archive, digest)[1], session.condition.profile)
            except DrydownError:
                continue
    return None
