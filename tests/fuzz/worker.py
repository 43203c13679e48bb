"""Cases of the campaign in a process of their own.

`python -m tests.fuzz.worker KIND SEED FIRST COUNT FOLDER [real]`, or those of some kinds out of a list:
`python -m tests.fuzz.worker KIND,KIND FOLDER LIST`, whose lines are kind, seed, number and what was found.

Each case is one call of the command line in this process, with the outputs of C libraries caught, too;
`real` starts a process for each. A line of JSON is printed for each finding, and one at the end of a kind.
A library's warning is a finding: in this process warnings are errors.
"""

import contextlib
import ctypes
import io
import json
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import time
import traceback
import warnings
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

SECONDS: Final = 30  # of a processor, for one case
MEGABYTES: Final = 600
_WALL: Final = 240  # seconds; a machine that is shared is slow
_ROOM: Final = 4 << 30  # bytes of addresses: beyond, MemoryError in place of a dead machine
_CASES_AN_ARCHIVE: Final = 150
RUN: Final = [sys.executable, "-c", "import sys, tui.cli; sys.exit(tui.cli.main())"]
# What no aside of ours holds, and what libraries write has.
_FOREIGN: Final = re.compile(r"Warning|site-packages|\.py|VIPS|Decode|libpng|lib[a-z]+:|0x[0-9a-f]{4}|\x1b")


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str
    seconds: float
    megabytes: int


class TooLong(BaseException):
    """The clock ran out; no handler of the program may take it for one of its own."""


def wrong_with(ran: Ran, name: str = "") -> str:
    """What a case did that it must not do; "" when it ended as it should. `name` of a command: see below."""
    if ran.code not in (0, 1, 2):
        return f"exit {ran.code}"
    if ran.seconds > SECONDS:
        return f"{ran.seconds:.0f} s"
    if ran.megabytes > MEGABYTES:
        return f"{ran.megabytes} MB"
    for text in ("Traceback", "unexpected fault", "Too little memory"):
        if text in ran.err:
            return text
    if ran.code == 0:
        return "words on the other output" if _FOREIGN.search(ran.err) or ran.err.count("\n") > 9 else ""
    if name == "check" and ran.out and not ran.err:
        return ""  # what it found is its result
    if ran.err.count("\n") != 1 or not ran.err.endswith("\n"):
        return "not one sentence"
    if any(ord(char) < 32 and char != "\n" for char in ran.err):
        return "control characters"
    return ""


def in_process(words: tuple[str, ...], folder: Path) -> Ran:
    """One call of `main`. What it and its libraries write is caught where the system writes it."""
    from tui.cli import main

    outs = [folder / "stdout", folder / "stderr"]
    before = [os.dup(number) for number in (1, 2)]
    streams = sys.stdout, sys.stderr
    files = [path.open("wb") for path in outs]
    began, code = time.process_time(), 70
    _forget_peak()
    try:
        for number, file in enumerate(files, 1):
            os.dup2(file.fileno(), number)
        sys.stdout = io.TextIOWrapper(os.fdopen(os.dup(1), "wb"), "utf-8", write_through=True)
        sys.stderr = io.TextIOWrapper(os.fdopen(os.dup(2), "wb"), "utf-8", write_through=True)
        signal.setitimer(signal.ITIMER_REAL, _WALL)
        try:
            code = main(list(words))
        except SystemExit as left:
            code = left.code if isinstance(left.code, int) else 0
        except TooLong:
            code = 124
        except Exception:
            traceback.print_exc()
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        for stream in (sys.stdout, sys.stderr):
            with contextlib.suppress(OSError, ValueError):
                stream.close()
        sys.stdout, sys.stderr = streams
        for number, kept in enumerate(before, 1):
            os.dup2(kept, number)
            os.close(kept)
        for file in files:
            file.close()
    seconds = time.process_time() - began
    out, err = (path.read_text("utf-8", "replace") for path in outs)
    return Ran(code, out, err, seconds, _peak())


def by_itself(words: tuple[str, ...], environ: dict[str, str]) -> Ran:
    """The command in a process of its own, as a person starts it."""
    process = subprocess.Popen([*RUN, *words], stdout=-1, stderr=-1, stdin=subprocess.DEVNULL, env=environ)
    try:
        out, err = process.communicate(timeout=_WALL)
    except subprocess.TimeoutExpired:
        process.kill()
        out, err = process.communicate()
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = used.ru_utime + used.ru_stime - by_itself.before  # type: ignore[attr-defined]
    by_itself.before += seconds  # type: ignore[attr-defined]
    texts = (text.decode("utf-8", "replace") for text in (out, err))
    return Ran(process.returncode, *texts, seconds, used.ru_maxrss >> 10)


by_itself.before = 0.0  # type: ignore[attr-defined]


def run(
    kind: str, wanted: list[tuple[int, int]], folder: Path, archive: Path, *, real: bool = False
) -> dict[str, Any]:
    """Cases by seed and number, each on a copy of an archive, some on the same; the counts of exit codes, the
    slowest, the largest. Prints the findings.
    """
    from tests.fuzz import cases

    room = folder / "room"
    folder.mkdir(parents=True, exist_ok=True)
    environ = _apart(folder)
    codes: Counter[int] = Counter()
    slowest: list[tuple[float, int]] = []
    largest = 0
    for at, (seed, number) in enumerate(wanted):
        (folder / "now").write_text(str(number))
        if at % _CASES_AN_ARCHIVE == 0:
            shutil.rmtree(room, ignore_errors=True)
            room.mkdir()
            shutil.copy(archive, room / "archive.db")
        case = cases.make(kind, seed, number, room, room / "archive.db")
        os.environ["DRYDOWN_SETTINGS"] = environ["DRYDOWN_SETTINGS"] = str(case.settings or folder / "none")
        ran = by_itself(case.words, environ) if real else in_process(case.words, folder)
        codes[ran.code] += 1
        slowest = sorted([*slowest, (round(ran.seconds, 2), number)], reverse=True)[:5]
        largest = max(largest, ran.megabytes)
        if wrong := wrong_with(ran, case.name):
            found = {"wrong": wrong, "kind": kind, "seed": seed, "number": number, "name": case.name}
            print(json.dumps(found | {"words": case.words, "said": ran.err[-600:]}), flush=True)
    return {"kind": kind, "count": len(wanted), "real": real, "codes": dict(codes), "slowest": slowest,
            "megabytes": largest}  # fmt: skip


def _apart(folder: Path) -> dict[str, str]:
    """Nothing of the user's is read or written: settings, logs, archives and copies lie in the folder."""
    apart = {"HOME": str(folder), "DRYDOWN_ARCHIVE": str(folder / "none.db"), "TERM": "dumb"}
    apart |= {f"XDG_{name}_HOME": str(folder / "home") for name in ("STATE", "DATA", "CONFIG", "CACHE")}
    os.environ.update(apart)
    return dict(os.environ)


def _forget_peak() -> None:
    """Give back what earlier cases took, and begin to watch anew."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL(None).malloc_trim(0)
        Path("/proc/self/clear_refs").write_text("5")


def _peak() -> int:
    try:
        status = Path("/proc/self/status").read_text()
    except OSError:
        return 0
    found = re.search(r"VmHWM:\s+(\d+) kB", status)
    return int(found[1]) >> 10 if found else 0


def _too_long(*_: object) -> None:
    raise TooLong


def listed(kind: str, path: Path) -> list[tuple[int, int]]:
    """Seeds and numbers of one kind, out of a list."""
    lines = [line.split() for line in path.read_text("utf-8").splitlines()]
    return [(int(words[1]), int(words[2])) for words in lines if words and words[0] == kind]


def main(kind: str, *words: str) -> int:
    resource.setrlimit(resource.RLIMIT_AS, (_ROOM, _ROOM))
    signal.signal(signal.SIGALRM, _too_long)
    if len(words) == 2:
        real, dealt = False, {each: listed(each, Path(words[1])) for each in kind.split(",")}
        folders = {each: Path(words[0]) / each for each in dealt}
    else:
        seed, first, count = map(int, words[:3])
        real, dealt = len(words) > 4, {kind: [(seed, number) for number in range(first, first + count)]}
        folders = {kind: Path(words[3])}
    if not real:
        warnings.simplefilter("error")
    base = next(iter(folders.values())) / "base"
    base.mkdir(parents=True)
    with contextlib.redirect_stdout(io.StringIO()):
        from tests.fuzz.bases import make_archive

        make_archive(base / "archive.db")
    for each, wanted in dealt.items():
        print(json.dumps(run(each, wanted, folders[each], base / "archive.db", real=real)))
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
