"""Runs of readings: kept whole and untouched, one row a run, its arrays as they were given."""

import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any, Final

import numpy as np

from evaluation.archive import documents
from evaluation.archive.connection import Archive
from evaluation.archive.moments import as_json, encodable, moment_or_none, stamped
from evaluation.archive.rows import Row
from evaluation.archive.sessions import require
from evaluation.archive.sqlite import understood
from evaluation.readings.run import MATCHED_BY, Array, Densities, PatchRef, Run, Stated, zoned

_GIVEN: Final = (
    "id, source, source_name, part, reader, condition, stated, printed_as, rounding, remarks, count, "
    "patches, device_space, device, wavelengths, spectra, lab, xyz"
)
_ROW: Final = tuple(field.name for field in fields(PatchRef) if field.name != "numbered")
_LARGEST: Final = 1e6  # far beyond any reading and any wavelength in nm: project's own choice
_LITTLE_ENDIAN: Final = np.dtype("<f8")


def keep(
    archive: Archive,
    session_id: int,
    runs: Sequence[Run],
    now: datetime,
    *,
    source: tuple[str, bytes] | None = None,
) -> tuple[int, ...]:
    """Keep runs and the file (name, content) they came from; their numbers.

    They count from an entry of the kind "readings" with the value "in": make it in the same transaction.
    """
    digest = None if source is None else documents.digest_of(source[1])
    ready = [_given(run, session_id, stamped(now), digest) for run in runs]  # before anybody waits
    with archive.joined() as connection:
        require(archive, session_id)
        if source is not None:
            documents.keep(archive, "source", *source)
        columns = ", ".join(ready[0]) if ready else ""
        return tuple(
            int(
                connection.execute(
                    f"INSERT INTO readings ({columns}) VALUES ({', '.join('?' * len(row))}) RETURNING id",
                    tuple(row.values()),
                ).fetchone()[0]
            )
            for row in ready
        )


# Runs whose newest live entry in a session is "in". One loaded in another session may be among them.
_IN: Final = """
    id IN (
        SELECT CAST(subject AS INTEGER) FROM (
            SELECT subject, value, row_number() OVER (PARTITION BY subject ORDER BY id DESC) AS place
            FROM entry WHERE session = ? AND kind = 'readings' AND undone = 0)
        WHERE place = 1 AND value = '"in"')
"""


def of_file(archive: Archive, session_id: int, digest: str) -> tuple[int, ...]:
    """The numbers of the runs of a session that are in and came from a file of that digest."""
    found = archive.rows(
        f"SELECT id FROM readings WHERE {_IN} AND source = ? ORDER BY id", (session_id, digest)
    )
    return tuple(int(number) for (number,) in found)


# Each listed session with the files that its runs came from, as far as they are in.
_HELD: Final = """
    SELECT DISTINCT e.session, r.source FROM (
        SELECT session, subject, value,
               row_number() OVER (PARTITION BY session, subject ORDER BY id DESC) AS place
        FROM entry WHERE kind = 'readings' AND undone = 0) AS e
    JOIN readings AS r ON r.id = CAST(e.subject AS INTEGER)
    JOIN session AS s ON s.id = e.session
    WHERE e.place = 1 AND e.value = '"in"' AND r.source IS NOT NULL AND s.removed IS NULL
"""


def with_file(archive: Archive, digest: str) -> tuple[int, ...]:
    """The listed sessions that have runs of a file of that digest in."""
    found = archive.rows(f"SELECT session FROM ({_HELD}) WHERE source = ? ORDER BY session", (digest,))
    return tuple(int(session) for (session,) in found)


def elsewhere(archive: Archive, session_id: int) -> dict[str, tuple[int, ...]]:
    """Of each file that a session's runs came from, by digest, the other listed sessions that have it in."""
    found = archive.rows(
        f"WITH held AS ({_HELD}) SELECT source, session FROM held WHERE session <> ? "
        "AND source IN (SELECT source FROM held WHERE session = ?) ORDER BY session",
        (session_id, session_id),
    )
    others: dict[str, tuple[int, ...]] = {}
    for source, session in found:
        others[str(source)] = (*others.get(str(source), ()), int(session))
    return others


def of_session(archive: Archive, session_id: int) -> tuple[Run, ...]:
    """The runs of a session that are in, oldest first; those left out or undone are not among them."""
    found = archive.rows(f"SELECT {_GIVEN} FROM readings WHERE {_IN} ORDER BY id", (session_id,))
    with understood(archive.path, f"the readings of session {session_id}"):
        return tuple(map(_run, found))


def these(archive: Archive, ids: Collection[int]) -> tuple[Run, ...]:
    """The runs of these numbers, oldest first, whichever session they were loaded in."""
    slots = ", ".join("?" * len(ids))
    found = archive.rows(f"SELECT {_GIVEN} FROM readings WHERE id IN ({slots}) ORDER BY id", tuple(ids))
    return tuple(map(_run, found))


@dataclass(frozen=True, slots=True)
class RunHead:
    """What a list shows of a run, without its readings."""

    id: int
    source: str | None  # digest of the file; None: typed by hand
    source_name: str
    condition: str | None
    printed_as: str
    count: int


def heads(archive: Archive, ids: Collection[int]) -> tuple[RunHead, ...]:
    """The heads of these runs, oldest first; numbers without a run are left out."""
    slots = ", ".join("?" * len(ids))
    found = archive.rows(
        f"SELECT id, source, source_name, condition, printed_as, count FROM readings WHERE id IN ({slots}) "
        "ORDER BY id",
        tuple(ids),
    )
    return tuple(RunHead(*row) for row in found)


def is_possible(run: Run) -> bool:
    """Whether a run is such as a reader takes in: from another archive it may be anything."""
    stated, refs = run.stated, run.patches
    said = (stated.illuminant, stated.observer, stated.geometry, stated.backing, stated.instrument)
    texts = (text for ref in refs for text in (ref.id, ref.name, ref.patch, ref.place))
    if not all(
        isinstance(text, str) for text in (*texts, *run.remarks, *(one for one in said if one is not None))
    ):
        return False
    if run.matched_by not in (None, *MATCHED_BY):
        return False
    tables = (run.wavelengths, run.spectra, run.lab, run.xyz, run.device)
    return all(
        table is None or (table.size > 0 and bool((np.abs(table) <= _LARGEST).all())) for table in tables
    )


def load(archive: Archive, run_id: int) -> Run:
    """One run, in or left out. Raises KeyError."""
    row = archive.row(f"SELECT {_GIVEN} FROM readings WHERE id = ?", (run_id,))
    if row is None:
        raise KeyError(run_id)
    with understood(archive.path, f"readings {run_id}"):
        return _run(row)


def _given(run: Run, session_id: int, added: str, source: str | None) -> dict[str, Any]:
    stated = run.stated
    return {
        "session": session_id,
        "added": added,
        "source": source or run.source_digest,
        "source_name": encodable(run.source_name),
        "part": encodable(run.part),
        "reader": encodable(run.reader),
        "condition": stated.condition,
        "stated": as_json(
            {
                "illuminant": stated.illuminant,
                "observer": stated.observer,
                "geometry": stated.geometry,
                "backing": stated.backing,
                "instrument": stated.instrument,
                # Not a moment of ours: kept in the zone it was stated in.
                "measured_at": stated.measured_at and stated.measured_at.isoformat(),
                "made_profile": stated.made_profile,
                "said_by_user": sorted(stated.said_by_user),
                **_densities_kept(run.densities),
                **({"matched_by": run.matched_by} if run.matched_by else {}),
            }
        ),
        "printed_as": run.printed_as,
        "rounding": float(run.rounding),
        "remarks": as_json(list(run.remarks)),
        "count": len(run),
        "patches": as_json([[getattr(row, name) for row in run.patches] for name in _ROW]),
        "device_space": run.device_space,
        "device": _bytes(run.device),
        "wavelengths": _bytes(run.wavelengths),
        "spectra": _bytes(run.spectra),
        "lab": _bytes(run.lab),
        "xyz": _bytes(run.xyz),
    }


def _run(row: Row) -> Run:
    (
        id_,
        source,
        source_name,
        part,
        reader,
        condition,
        stated_text,
        printed_as,
        rounding,
        remarks,
        count,
        patches,
        device_space,
        *arrays,
    ) = row
    stated = json.loads(stated_text)
    measured_at = moment_or_none(stated["measured_at"])
    stated["measured_at"] = measured_at and zoned(measured_at)
    stated["said_by_user"] = frozenset(stated["said_by_user"])
    densities, matched_by = _densities(stated.pop("densities", None)), stated.pop("matched_by", None)
    device, wavelengths, spectra, lab, xyz = arrays
    return Run(
        patches=tuple(map(PatchRef, *json.loads(patches))),
        stated=Stated(condition=condition, **stated),
        printed_as=printed_as,
        wavelengths=None if wavelengths is None else _array(wavelengths),
        spectra=_table(spectra, count),
        lab=_table(lab, count),
        xyz=_table(xyz, count),
        device=_table(device, count),
        densities=densities,
        device_space=device_space,
        part=part,
        source_name=source_name,
        source_digest=source,
        reader=reader,
        rounding=rounding,
        remarks=tuple(json.loads(remarks)),
        matched_by=matched_by,
        id=id_,
    )


def _densities_kept(densities: Densities | None) -> dict[str, Any]:
    """Part of what the file states; numbers it lacks are null."""
    if densities is None:
        return {}
    values = [[None if cell != cell else cell for cell in row] for row in densities.values.tolist()]
    return {"densities": {"filters": densities.filters, "status": densities.status, "values": values}}


def _densities(kept: dict[str, Any] | None) -> Densities | None:
    if kept is None:
        return None
    values = np.array(kept["values"], np.float64)  # null becomes nan
    return Densities(tuple(kept["filters"]), values, kept["status"])


def _bytes(array: Array | None) -> bytes | None:
    return None if array is None else np.ascontiguousarray(array, _LITTLE_ENDIAN).tobytes()


def _array(blob: bytes) -> Array:
    """Read-only, as the run is: nobody changes a reading by accident."""
    return np.frombuffer(blob, _LITTLE_ENDIAN).astype(np.float64, copy=False)


def _table(blob: bytes | None, count: int) -> Array | None:
    return None if blob is None else _array(blob).reshape(count, -1)
