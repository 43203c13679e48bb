"""Archives as tables for other engines: a folder that grows by files; each archive in its own process."""

import contextlib
import json
import os
import signal
import sys
import warnings
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final

from evaluation.errors import DrydownError, UsageProblem
from evaluation.export import folder as lying
from evaluation.export import parquet
from evaluation.export.columns import TABLES
from evaluation.export.dictionary import SCHEMA_ENDING, csv_schema, dictionary
from evaluation.export.written import ALWAYS, Format
from evaluation.work.export.one_archive import NOT_EXPORTED, Exported, export, origin_of, place_of, refused
from evaluation.work.onto_disk import not_written, put_all

Progress = Callable[[int, int, str], None]  # done, total, what is being done

NOTHING: Final = "Nothing was exported."


def untold(done: int, total: int, what: str) -> None:
    """Progress is not reported."""


def export_all(
    archives: Sequence[Path],
    folder: Path,
    formats: Collection[Format] = ALWAYS,
    *,
    names: bool = True,
    processes: int | None = None,
    tell: Progress = untold,
) -> tuple[Exported, ...]:
    """Bring the tables of these archives in a folder up to date; one that cannot be read holds up no other.

    Archives are only read. `processes` is how many may work at once, as many as the machine has by default.
    The results come in the order of the archives, each named once.

    Raises UsageProblem for Parquet without duckdb, or a folder that is none; DrydownError where the folder
    cannot be written to, or a process was stopped from outside.
    """
    if "parquet" in formats:
        parquet.require()
    _begin(folder, formats)
    paths = list({os.path.realpath(path): path for path in archives}.values())
    try:
        found = list(_exported(paths, folder, formats, names, processes or os.cpu_count() or 1, tell))
        _forget_moved(folder, found)
    finally:
        with contextlib.suppress(OSError):  # another export may write there
            lying.drafts(folder).rmdir()
    return tuple(found)


def _begin(folder: Path, formats: Collection[Format]) -> None:
    if folder.exists() and not folder.is_dir():
        raise UsageProblem(NOTHING, where=str(folder), expected="a folder", found="a file of that name")
    try:
        folder.mkdir(exist_ok=True)
        lying.drafts(folder).mkdir(exist_ok=True)
        texts: dict[Path, Any] = {folder / "dictionary.json": dictionary()}
        if "csv" in formats:
            (folder / "csv").mkdir(exist_ok=True)
            for table in TABLES.values():
                texts[folder / "csv" / f"{table.name}{SCHEMA_ENDING}"] = csv_schema(table)
        ready = {path: f"{json.dumps(text, indent=1)}\n".encode() for path, text in texts.items()}
        put_all({path: text for path, text in ready.items() if not _is(path, text)}, NOTHING)
    except OSError as problem:
        raise not_written(folder, problem, NOTHING) from None


def _is(path: Path, content: bytes) -> bool:
    return path.is_file() and path.read_bytes() == content


def _exported(
    paths: Sequence[Path],
    folder: Path,
    formats: Collection[Format],
    names: bool,
    processes: int,
    tell: Progress,
) -> Iterable[Exported]:
    each = partial(export, folder=folder, formats=tuple(formats), names=names)
    if processes == 1 or len(paths) == 1:
        done = _copies(paths, map(origin_of, paths))
        for path in paths:
            if path not in done:
                done[path] = each(path)
            tell(len(done), len(paths), path.name)
    else:
        done = _in_processes(paths, processes, each, tell)
    return [done[path] for path in paths]


def _in_processes(
    paths: Sequence[Path], processes: int, each: Callable[[Path], Exported], tell: Progress
) -> dict[Path, Exported]:
    from concurrent.futures import ProcessPoolExecutor, as_completed
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    # Not forked: a copy of a process that has archives open would drop their locks.
    pool = ProcessPoolExecutor(processes, get_context("spawn"), initializer=_quieten)
    try:
        with _deaf():
            origins = pool.map(origin_of, paths, chunksize=16)
        done = _copies(paths, origins)
        with _deaf():
            begun = {pool.submit(each, path): path for path in paths if path not in done}
        for future in as_completed(begun):
            done[begun[future]] = future.result()
            tell(len(done), len(paths), begun[future].name)
    except BrokenProcessPool:
        raise DrydownError(
            "Not all archives were exported.",
            found="a process that was stopped from outside",
            remedy="Run it again: files that are written stay as they are.",
        ) from None
    finally:
        pool.shutdown(cancel_futures=True)  # archives that are begun are brought to their end
    return done


@contextlib.contextmanager
def _deaf() -> Iterator[None]:
    """Processes that begin here never hear Ctrl+C; the one who waits for them hears it afterwards."""
    if not hasattr(signal, "pthread_sigmask"):  # Windows: they are deaf once they work
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _quieten() -> None:
    """In a process of ours Ctrl+C stops nothing half way, and libraries say nothing."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if not sys.warnoptions:
        warnings.simplefilter("ignore")


def _copies(paths: Sequence[Path], origins: Iterable[str]) -> dict[Path, Exported]:
    """Archives that were born as one before them: they would write over its files."""
    first: dict[str, Path] = {}
    found = {}
    for path, origin in zip(paths, origins, strict=True):
        if origin and first.setdefault(origin, path) != path:
            found[path] = refused(
                path,
                UsageProblem(
                    NOT_EXPORTED,
                    where=str(path),
                    expected="an archive by itself",
                    found=f"a copy of {first[origin].name}, in which nothing was entered since",
                    remedy="Export one of them.",
                ),
            )
    return found


def _forget_moved(folder: Path, found: Collection[Exported]) -> None:
    """Take away what the same file wrote under an origin it had before: its sessions would count twice."""
    now = {place_of(Path(each.archive)): each.origin for each in found if each.origin}
    for what in lying.all_listed(folder):
        if now.get(what.place, what.origin) != what.origin:
            lying.forget(folder, what)
