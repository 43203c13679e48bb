"""What several rooms test with: the demo with all of its evaluations finished, made once."""

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from evaluation import unfinished
from evaluation.archive import schema
from evaluation.archive.connection import open_archive
from evaluation.readings.supplied import Supplied
from evaluation.sheet.layout import Sheet
from evaluation.work.bench import Bench, sheet_of, utc_now
from evaluation.work.compare import compare
from evaluation.work.log import session
from evaluation.work.paper import viewing
from evaluation.work.take_in import read
from fixtures import demo, weighed

try:
    import fcntl
except ImportError:  # not on this system: each process builds its own
    fcntl = None  # type: ignore[assignment]

# Examples of what holds for all input: `pytest --hypothesis-profile=full` draws as many as a night has.
settings.register_profile("quick", max_examples=25, deadline=None)
settings.register_profile("full", max_examples=2_000, deadline=None)
settings.load_profile("quick")

# Pictures that a test draws are kept here, never in the cache of whoever runs it.
os.environ["DRYDOWN_CACHE"] = str(Path(__file__).parents[1] / ".pytest_cache" / "pictures")


def built_once(factory: pytest.TempPathFactory, name: str, build: Callable[[Path], object]) -> Path:
    """An archive for all tests of a run, in whichever process: the first that asks builds it, others wait."""
    shared = factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    folder = shared / f"{name} for all"
    with (shared / f"{name}.lock").open("w") as lock:
        if fcntl is not None:
            fcntl.flock(lock, fcntl.LOCK_EX)
        else:
            folder = folder.with_name(f"{name} of {os.getpid()}")
        if not (folder / "built").exists():
            shutil.rmtree(folder, ignore_errors=True)  # of one that failed
            folder.mkdir()
            build(folder / "demo.db")
            (folder / "built").touch()
    return folder / "demo.db"


@pytest.fixture(scope="session", autouse=True)
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """An empty archive is made by all migrations once a process: half the time of tests of archives.

    Each later one is a copy of it, with an origin of its own, as the program draws one.
    """
    make = schema.make

    @cache
    def empty() -> bytes:
        path = tmp_path_factory.mktemp("made") / "empty.db"
        make(path)
        return path.read_bytes()

    def made(path: Path) -> None:
        draft = unfinished.beside(path)
        try:
            draft.write_bytes(empty())
            with closing(sqlite3.connect(draft, isolation_level=None)) as own:
                own.execute("PRAGMA journal_mode = MEMORY")
                own.execute("UPDATE origin SET origin = lower(hex(randomblob(16)))")
                own.execute("UPDATE origin SET family = origin")
            schema.move_to_free_place(draft, path)
        except OSError:
            make(path)  # which tells it in words
        finally:
            draft.unlink(missing_ok=True)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(schema, "make", made)
        yield


@pytest.fixture(scope="session")
def demo_archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo as built, with its readings beside it. Not to be written to."""
    return built_once(tmp_path_factory, "demo", demo.build)


@pytest.fixture(scope="session")
def finished_archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo after the ordinary verbs brought sessions 4, 5 and 6 to an end. Not to be written to."""
    return built_once(tmp_path_factory, "finished", lambda path: finish(path, utc_now()))


@pytest.fixture(scope="session")
def compared_archive(finished_archive: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The finished demo, its first print compared with the other three in colour. Not to be written to."""

    def build(path: Path) -> None:
        with open_archive(shutil.copy(finished_archive, path)) as archive:
            compare.worked_out(Bench(archive), (1, 6, 4, 5))

    return built_once(tmp_path_factory, "compared", build)


def finish(path: Path, now: datetime, weigh: demo.Weigh = weighed.keep) -> Path:
    """Make the demo as of that moment, with its readings beside it, and finish all of its evaluations."""
    demo.build(path, now, weigh=weigh)
    folder = path.parent / f"{path.stem}-readings"
    with open_archive(path) as archive:
        bench = Bench(archive, now=lambda: now)
        for number, name in ((6, "lustre-finest-strip"), (4, "rag-fine-dry")):
            what = read.preview(bench, number, folder / f"{name}.txt", Supplied(printed_as="managed"))
            read.take_in(bench, number, what)
        for number, grade in ((5, 3), (6, 4)):
            sheet = sheet_of(bench, session(bench, number))
            form = viewing.read_form(quick_form(sheet, grade), "form", sheet)
            viewing.record(bench, number, form)
    return path


@pytest.fixture
def finished(finished_archive: Path, tmp_path: Path) -> Path:
    """A copy of it for one test."""
    return Path(shutil.copy(finished_archive, tmp_path / "finished.db"))


def quick_form(sheet: Sheet, grade: int) -> str:
    """A short viewing: every region as a whole, all of one grade."""
    asked = [(region.id, region.whole.id) for region in sheet.regions if region.whole]
    head = '[viewing]\nobserver = "observer 1"\nkind = "quick"\n'
    return head + "".join(f"[{region}]\n{question} = {grade}\n" for region, question in asked)


# Archives only by SQLite -------------------------------------------------------------------------------

# What Python itself does to files (docs.python.org, "Audit events table"); of SQLite it sees nothing.
_TOUCHING = ("open", "os.rename", "os.remove", "os.truncate", "os.link", "shutil.copyfile", "shutil.move")
_watched: dict[Path, list[str]] = {}


def _watch(event: str, arguments: tuple[Any, ...]) -> None:
    if not _watched or event not in _TOUCHING:
        return
    for each in arguments[:2]:
        if isinstance(each, str | bytes | os.PathLike) and os.fsdecode(each):
            path = Path(os.fsdecode(each)).absolute()
            for archive, seen in _watched.items():
                if path.parent == archive.parent and path.name.removeprefix(archive.name) in _BESIDE:
                    seen.append(f"{event} {path.name}")


_BESIDE = ("", "-wal", "-shm", "-journal")


class Elsewhere:
    """Another program that has an archive open as the app has it, and how the archive's own files fare."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.touched: list[str] = []  # what this process did to the archive by anything but SQLite
        words = [sys.executable, str(Path(__file__).with_name("archive") / "held_open.py"), str(path)]
        pipe = subprocess.PIPE
        self.program = subprocess.Popen(words, stdin=pipe, stdout=pipe, text=True)
        if self._told() != "open":
            self.kill()
            raise AssertionError(f"the other program could not open {path.name}")
        self.saved: list[str] = []
        self.save()
        self._log = self._standing()
        _watched[path.absolute()] = self.touched

    def _told(self) -> str:
        assert self.program.stdout is not None
        return self.program.stdout.readline().strip()

    def _standing(self) -> tuple[int, int]:
        return tuple(self.path.with_name(self.path.name + end).stat().st_ino for end in ("-wal", "-shm"))

    def save(self) -> None:
        """Let it save something more."""
        assert self.program.stdin is not None
        subject = f"saved elsewhere {len(self.saved)}"
        print(subject, file=self.program.stdin, flush=True)
        assert self._told() == subject
        self.saved.append(subject)

    def is_unharmed(self) -> bool:
        """Log and index are the same files as at the beginning, and nothing but SQLite touched them."""
        return self._standing() == self._log and not self.touched

    def kill(self) -> None:
        _watched.pop(self.path.absolute(), None)
        self.program.kill()
        self.program.communicate()


_hooked = False


@pytest.fixture
def elsewhere() -> Iterator[Any]:
    """Open an archive in another program: `elsewhere(path)` gives it, as `Elsewhere`. Killed at the end."""
    global _hooked
    if not _hooked:
        sys.addaudithook(_watch)
        _hooked = True
    begun: list[Elsewhere] = []

    def begin(path: Path) -> Elsewhere:
        begun.append(Elsewhere(path))
        return begun[-1]

    yield begin
    for each in begun:
        each.kill()
