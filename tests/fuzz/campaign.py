"""The campaign: `python -m tests.fuzz.campaign [CASES] [SEED] [REAL]`, a hundred thousand if nothing is said.

Cases are dealt out to two processes, some thousand at a time; a process that dies is one more finding, and
the next goes on behind it. REAL cases of them are run as a person runs them, a process each. Findings are
printed as they come; every one can be made again from its kind, seed and number, by
`python -m tests.fuzz.worker KIND SEED NUMBER 1 FOLDER`.
"""

import json
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

SHARES: Final = {"readings": 0.35, "toml": 0.22, "forms": 0.11, "profiles": 0.13, "pictures": 0.09,
                 "archives": 0.04, "bundles": 0.06}  # fmt: skip
_DEAL: Final = 2500
_REAL_DEAL: Final = 25
_WORKERS: Final = 2
_PATIENCE: Final = 3600  # seconds for one deal


@dataclass
class Found:
    """What a campaign came to. `real`: cases that were a process of their own."""

    seed: int
    cases: Counter[str] = field(default_factory=Counter)
    real: int = 0
    codes: Counter[str] = field(default_factory=Counter)
    wrong: list[dict[str, Any]] = field(default_factory=list)
    slowest: float = 0.0
    megabytes: int = 0
    minutes: float = 0.0

    def __str__(self) -> str:
        ran = ", ".join(f"{count:,} {kind}" for kind, count in sorted(self.cases.items()))
        ended = ", ".join(f"{count:,} with {code}" for code, count in sorted(self.codes.items()))
        return (
            f"seed {self.seed}: {self.cases.total():,} cases ({ran}), {self.real:,} of them by themselves; "
            f"ended {ended}; {len(self.wrong)} findings; slowest {self.slowest:.1f} s, "
            f"largest {self.megabytes} MB; {self.minutes:.0f} min"
        )


def campaign(cases: int = 100_000, seed: int = 1, real: int = 1000, folder: Path | None = None) -> Found:
    """Run it; `real` of the cases are a process each."""
    folder = folder or Path(tempfile.mkdtemp(prefix="drydown-fuzz-"))
    found, began = Found(seed), time.monotonic()
    with ThreadPoolExecutor(_WORKERS) as pool:
        for lines in pool.map(lambda deal: _dealt(*deal, folder), list(_deals(cases, seed, real))):
            for line in lines:
                _count(found, line)
    found.minutes = (time.monotonic() - began) / 60
    return found


def _deals(cases: int, seed: int, real: int) -> Iterator[tuple[str, int, int, int, bool]]:
    """Kind, seed, first number, how many, and whether each is a process: the same of every kind in turn."""
    for by_itself, size, share in ((True, _REAL_DEAL, real), (False, _DEAL, cases - real)):
        for kind, part in SHARES.items():
            first = 0 if not by_itself else 1_000_000  # numbers of their own
            last = first + round(share * part)
            for start in range(first, last, size):
                yield kind, seed, start, min(size, last - start), by_itself


def _dealt(kind: str, seed: int, first: int, count: int, real: bool, folder: Path) -> list[dict[str, Any]]:
    """The lines of one deal, the last of them its sums."""
    lines: list[dict[str, Any]] = []
    end = first + count
    while first < end:
        room = folder / f"{kind}-{first}"
        shutil.rmtree(room, ignore_errors=True)
        words = [sys.executable, "-m", "tests.fuzz.worker", kind, str(seed), str(first), str(end - first)]
        out = folder / f"{kind}-{seed}-{first}.jsonl"
        with out.open("wb") as into:
            process = subprocess.Popen([*words, str(room), *(["real"] if real else [])], stdout=into)
            try:
                process.wait(_PATIENCE)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
        lines += [json.loads(line) for line in out.read_text("utf-8").splitlines() if line.startswith("{")]
        if process.returncode == 0:
            shutil.rmtree(room, ignore_errors=True)
            break
        at = int((room / "now").read_text()) if (room / "now").exists() else first
        died = {"wrong": f"the process died: {process.returncode}", "kind": kind, "seed": seed, "number": at}
        lines += [died, {"count": at + 1 - first, "kind": kind, "real": real, "codes": {}, "slowest": [],
                         "megabytes": 0}]  # fmt: skip
        first = at + 1
    return lines


def _count(found: Found, line: dict[str, Any]) -> None:
    if "wrong" in line:
        found.wrong.append(line)
        print(json.dumps(line), flush=True)
        return
    found.cases[line["kind"]] += line["count"]
    found.real += line["count"] if line["real"] else 0
    found.codes.update(line["codes"])
    found.slowest = max([found.slowest, *(seconds for seconds, _ in line["slowest"])])
    found.megabytes = max(found.megabytes, line["megabytes"])
    print(json.dumps(line), flush=True)


def main(cases: str = "100000", seed: str = "1", real: str = "1000") -> int:
    print(f"seed {seed}", flush=True)
    found = campaign(int(cases), int(seed), int(real))
    print(found)
    return 1 if found.wrong else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
