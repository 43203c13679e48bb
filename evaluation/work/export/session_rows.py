"""What a session gives to each table. The gate holds here too: no number leaves before its grade."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any

import numpy as np

from evaluation.archive import exported, runs, sessions
from evaluation.archive.bundles import nameless
from evaluation.archive.connection import Archive
from evaluation.archive.exported import Person, Stands
from evaluation.archive.moments import as_json, stamped
from evaluation.archive.sqlite import understood
from evaluation.colorimetry.density import density_from_y, visual_density
from evaluation.entry import encoded
from evaluation.errors import FileProblem
from evaluation.export.columns import TABLES
from evaluation.export.part import Part, of_rows
from evaluation.plain_text import visible
from evaluation.readings.colours import colours
from evaluation.readings.run import Run
from evaluation.session import Grade, Session
from evaluation.sheet.layout import Sheet
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.export import results


@dataclass(frozen=True, slots=True)
class ArchiveNames:
    """How one archive is written: its lasting names, observers by name or role, texts made plain.

    `looked` and `judged` are the observers of viewings and of rounds, as they are to be called; `roles` is
    empty where names are kept.
    """

    session: dict[int, str]
    viewing: dict[int, str]
    run: dict[int, str]
    round: dict[int, str]
    added: dict[int, datetime]
    looked: dict[int, Person]
    judged: dict[int, Person]
    roles: dict[Person, str]
    text: Callable[[str | None], str | None]


def told(archive: Archive, *, names: bool) -> ArchiveNames:
    """Everything that all sessions of an archive share."""
    looked, judged = exported.people(archive, "viewing"), exported.people(archive, "round")
    roles = {} if names else nameless.roles_of([*looked.values(), *judged.values()])
    scrub = nameless.scrubber({name: role for (name, _), role in roles.items()})
    origin = exported.origin(archive)

    def called(person: Person) -> Person:
        return (roles[person], origin) if roles else (_plain(person[0]), person[1])

    return ArchiveNames(
        session=exported.uids(archive),
        viewing=exported.lasting_names(archive, "viewing"),
        run=exported.lasting_names(archive, "readings"),
        round=exported.lasting_names(archive, "round"),
        added=exported.added(archive),
        looked={number: called(person) for number, (_, person) in looked.items()},
        judged={number: called(person) for number, (_, person) in judged.items()},
        roles=roles,
        text=lambda text: text and _plain(scrub(text)),
    )


@lru_cache(maxsize=1 << 16)
def _plain(text: str) -> str:
    """On one line, with everything in it to be seen."""
    return visible(" ".join(text.split()))


def parts(bench: Bench, named: ArchiveNames, stands: Stands) -> Iterator[Part]:
    """The rows of one session, table by table. Raises ArchiveProblem where its rows are damaged."""
    session = sessions.load(bench.archive, stands.number)
    with understood(bench.archive.path, f"session {stands.number}"):
        sheet = sheet_of(bench, session)
        seen = gate.open_regions(session, sheet)
        yield of_rows("sessions", [_session(session, stands)])
        yield of_rows("conditions", [_condition(session, named)])
        yield of_rows("viewings", _viewings(session, named))
        yield of_rows("answers", _answers(session, named, seen))
        yield of_rows("faults", _faults(session, named, seen))
        taken_in = runs.these(bench.archive, session.runs)
        yield of_rows("runs", [_run(session, run, named) for run in taken_in])
        for run in taken_in:
            yield _readings(session, sheet, run, named, seen)
        yield from results.parts(bench.archive, session, stands, named.text)


def _session(session: Session, stands: Stands) -> tuple[Any, ...]:
    result = stands.result
    return (
        session.uid,
        session.id,
        stamped(session.created),
        stands.copied_from,
        session.sheet_digest,
        stands.state,
        stands.regions,
        stands.looked,
        result and result.verdict,
        result and result.disagree,
        result and stamped(result.at),
    )


def _condition(session: Session, named: ArchiveNames) -> tuple[Any, ...]:
    """The fields of the condition go by the names of the columns."""
    own = session.condition
    given = {column.name: getattr(own, column.name, None) for column in TABLES["conditions"].columns}
    given |= {
        "session": session.uid,
        "black_from": None if own.black_from is None else named.session.get(own.black_from),
        "absent": list(own.absent),
    }
    free = {column.name for column in TABLES["conditions"].columns if column.type == "text"} - {"session"}
    return tuple(named.text(value) if name in free else _moment(value) for name, value in given.items())


def _viewings(session: Session, named: ArchiveNames) -> Iterator[tuple[Any, ...]]:
    for viewing in session.viewings:
        yield (
            session.uid,
            named.viewing[viewing.id],
            viewing.ordinal,
            viewing.kind,
            *named.looked[viewing.id],
            stamped(viewing.started),
            None if viewing.reference is None else named.session.get(viewing.reference),
            named.text(viewing.aside),
        )


def _answers(session: Session, named: ArchiveNames, seen: frozenset[str]) -> Iterator[tuple[Any, ...]]:
    for viewing in session.viewings:
        for (region, question), answer in viewing.answers.items():
            if region in seen:
                grade = float(answer.value.value) if isinstance(answer.value, Grade) else None
                value, at = as_json(encoded(answer.value)), stamped(answer.at)
                name = named.viewing[viewing.id]
                yield session.uid, name, region, question, value, grade, at, answer.after_reveal


def _faults(session: Session, named: ArchiveNames, seen: frozenset[str]) -> Iterator[tuple[Any, ...]]:
    for viewing in session.viewings:
        for fault in viewing.faults:
            if fault.region in seen:
                where = named.text(fault.where)
                yield session.uid, named.viewing[viewing.id], fault.region, named.text(fault.name), where


def _run(session: Session, run: Run, named: ArchiveNames) -> tuple[Any, ...]:
    stated, number = run.stated, _number(run)
    return (
        session.uid,
        named.run[number],
        named.text(run.source_name),
        named.text(run.part),
        stated.condition,
        run.printed_as,
        len(run),
        run.device_space,
        None if run.wavelengths is None else run.wavelengths.tolist(),
        named.text(stated.instrument),
        named.text(stated.geometry),
        named.text(stated.backing),
        _moment(stated.measured_at),
        stamped(named.added[number]),
    )


def _readings(session: Session, sheet: Sheet, run: Run, named: ArchiveNames, seen: frozenset[str]) -> Part:
    """The rows of a run that may be seen; those that are no patch of the sheet teach the eye nothing."""
    patch_of = {patch.id: patch for patch in sheet.patches}
    patches = [patch_of.get(ref.patch) for ref in run.patches]
    shown = [k for k, patch in enumerate(patches) if patch is None or patch.region in seen | {""}]
    lab, density = _measured(run)
    columns = {
        "session": session.uid,
        "run": named.run[_number(run)],
        "reading": np.array(shown, np.int64) + 1,
        "id": [named.text(run.patches[k].id) or "" for k in shown],
        "name": [named.text(run.patches[k].name) or "" for k in shown],
        "patch": ["" if (patch := patches[k]) is None else patch.id for k in shown],
        "region": ["" if (patch := patches[k]) is None else patch.region for k in shown],
        "role": ["" if (patch := patches[k]) is None else patch.role for k in shown],
        "device": None if run.device is None else run.device[shown],
        "lab_l": lab[shown, 0],
        "lab_a": lab[shown, 1],
        "lab_b": lab[shown, 2],
        "density": density[shown],
        "spectrum": None if run.spectra is None else run.spectra[shown],
    }
    return Part("readings", len(shown), columns)


def _measured(run: Run) -> tuple[Any, Any]:
    """CIELAB (n, 3) and visual density (n,); nan where the run tells no colour for D50 and 2 degrees."""
    try:
        found = colours(run)
        if run.spectra is not None and run.wavelengths is not None:
            return found.lab_d50, visual_density(run.wavelengths, run.spectra)
        return found.lab_d50, density_from_y(found.xyz_d50[:, 1])
    except FileProblem:
        return np.full((len(run), 3), np.nan), np.full(len(run), np.nan)


def _number(run: Run) -> int:
    assert run.id is not None  # it comes from the archive
    return run.id


def _moment(value: Any) -> Any:
    return stamped(value) if isinstance(value, datetime) else value
