"""Which reader a file needs, from its content, and the one way by which readings come in."""

import gc
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Final

from evaluation.errors import FileProblem
from evaluation.profile.icc_facts import is_profile
from evaluation.readings.assemble import COLUMNS_NOT_USED, run_from_table
from evaluation.readings.cgats.lines import encoding_of
from evaluation.readings.cgats.text_reader import read_tables
from evaluation.readings.cxf.alike import document_of
from evaluation.readings.cxf.runs import runs_of
from evaluation.readings.delimited import read_table as read_delimited
from evaluation.readings.inside_profiles import runs_of_profile
from evaluation.readings.run import Run
from evaluation.readings.source import CHUNK, NOTHING_TAKEN, Progress, Source, load
from evaluation.readings.stated import left_out, stated_by, supplied_for_each
from evaluation.readings.supplied import Supplied

FORMATS: Final = {"text": "ISO 28178 text", "cxf": "CxF3", "delimited": "delimited text"}
_VERSION: Final = "1"
_BLOCK: Final = re.compile(r"^[ \t]*BEGIN_DATA(?:_FORMAT)?[ \t\r]*(?:#|$)", re.I | re.M)
_BLOCK_BYTES: Final = (b"BEGIN_DATA", b"B\0E\0G\0I\0N\0_\0D\0A\0T\0A")
_SIGNATURES: Final = (
    (b"%PDF", 0, "a PDF document"),
    (b"PK\x03\x04", 0, "a compressed file or spreadsheet"),
    (b"\xd0\xcf\x11\xe0", 0, "a spreadsheet"),
    (b"II*\0", 0, "a picture"),
    (b"MM\0*", 0, "a picture"),
    (b"\x89PNG", 0, "a picture"),
    (b"\xff\xd8\xff", 0, "a picture"),
    (b"acsp", 36, "an ICC profile"),
    (b"SQLite format 3", 0, "an archive"),
)


def read_readings(
    path: Path, supplied: Supplied | None = None, progress: Progress | None = None
) -> tuple[Run, ...]:
    """Every run of a file: one per table and measurement condition, values as given.

    Nothing is kept of a file that is refused.

    Parameters
    ----------
    path
        The file.
    supplied
        What the user states about it.
    progress
        Called with bytes done and in all; may raise Cancelled.

    Raises
    ------
    FileProblem
        When the file cannot be understood, or holds no measured colour.
    OpenQuestions
        When it leaves something open that changes numbers.
    UsageProblem
        When the user contradicts it.
    """
    return measured_in(load(path, progress), supplied or Supplied(), progress)


def measured_in(source: Source, supplied: Supplied, progress: Progress | None = None) -> tuple[Run, ...]:
    """Every run of a file that is at hand. Parameters and errors as `read_readings`."""
    runs = runs_in(source, supplied, progress)
    kept = [run for run in runs if run.spectra is not None or run.lab is not None or run.xyz is not None]
    without = [run for run in runs if all(run is not one for one in kept)]
    if not kept:
        raise without_colours(source, runs)
    remark = tuple(f"{run.part} left out: no measured colour in it" for run in without)
    return tuple(replace(run, remarks=(*run.remarks, *remark)) for run in kept) if remark else tuple(kept)


def without_colours(source: Source, runs: Sequence[Run]) -> FileProblem:
    """The refusal of a file none of whose tables holds a measured colour."""
    densities = any(run.densities is not None for run in runs)
    to_print = not densities and any(run.device is not None for run in runs)
    remarks = [line for run in runs for line in run.remarks if line.startswith(COLUMNS_NOT_USED)]
    nothing = f"none among {remarks[0].removeprefix(COLUMNS_NOT_USED)}" if remarks else "none"
    nothing = "densities only" if densities else nothing
    return FileProblem(
        NOTHING_TAKEN,
        where=source.name,
        expected="measured colours (spectra, CIELAB or XYZ)",
        found="device values only, a list of patches to print" if to_print else nothing,
        remedy="Print and measure these patches, then take in that file."
        if to_print
        else "Export the readings with spectra, CIELAB or XYZ.",
    )


def runs_in(
    source: Source, supplied: Supplied, progress: Progress | None = None, asking: bool = True
) -> tuple[Run, ...]:
    """Every table of a file, or of the readings inside an ICC profile; as `read_source` otherwise."""
    if not is_profile(bytes(source.data[:132])):
        return read_source(source, supplied, progress, asking)
    return runs_of_profile(source, supplied, lambda inner, said: read_source(inner, said, progress, asking))


def read_source(
    source: Source, supplied: Supplied, progress: Progress | None = None, asking: bool = True
) -> tuple[Run, ...]:
    """Every table of a file as a run, including lists of patches without measured colour.

    Parameters and errors as `read_readings`. Not `asking`: open questions become remarks, and the values they
    concern are left out.
    """
    kind = format_of(source)
    reader = f"{FORMATS[kind]} {_VERSION}"
    if kind == "cxf":
        with _without_cycle_collection():
            return runs_of(document_of(source, progress), source, supplied, reader, asking, progress)
    found = (
        read_tables(source, supplied, progress)
        if kind == "text"
        else (read_delimited(source, supplied, progress),)
    )
    tables = [part for table in found for part in table.by_condition()]
    for_each = supplied_for_each([stated_by(table)[0].condition for table in tables], supplied)
    return tuple(
        run_from_table(
            replace(table, remarks=(*table.remarks, *left_out(for_each))),
            source,
            supplied_for_it,
            reader=reader,
            part=f"table {number}" if len(tables) > 1 else "",
            asking=asking,
        )
        for number, (table, supplied_for_it) in enumerate(zip(tables, for_each, strict=True), start=1)
        if supplied_for_it is not None
    )


def _names_a_block(source: Source) -> bool:
    """Whether a keyword that begins a block occurs anywhere, in any case; by chunks, since each is copied."""
    room = CHUNK + len(_BLOCK_BYTES[1])
    chunks = (source.data[start : start + room].upper() for start in range(0, len(source.data), CHUNK))
    return any(block in chunk for chunk in chunks for block in _BLOCK_BYTES)


@contextmanager
def _without_cycle_collection() -> Iterator[None]:
    """Looking for reference cycles while many objects are made takes a fifth of the time and finds none."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()


def format_of(source: Source) -> str:
    """The format, a key of `FORMATS`. Raises FileProblem for binary content, naming what it looks like."""
    for signature, place, what in _SIGNATURES:
        if source.data[place : place + len(signature)] == signature:
            raise FileProblem(
                NOTHING_TAKEN,
                where=source.name,
                expected="a file of readings",
                found=what,
                remedy="Export the readings as ISO 28178 (CGATS.17) text or CxF3.",
            )
    encoding, _ = encoding_of(source)
    head = bytes(source.data[: 2**16]).decode(encoding, "replace").lstrip("\ufeff")
    if head.lstrip().startswith("<"):
        return "cxf"
    if _BLOCK.search(head) or _names_a_block(source):
        return "text"
    first = head.split(None, 1)[0].upper() if head.split() else ""
    return "text" if first.startswith(("CGATS", "ISO28178", "IT8.7/")) else "delimited"
