"""Mutated files, each in its own way: exit 0, 1 or 2, one sentence, 30 s and 600 MB at most, nothing else.

`worst.txt` lists a hundred that once broke a promise, or took longest; they are made again from their seeds.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz.campaign import campaign
from tests.fuzz.cases import KINDS
from tests.fuzz.worker import Ran, listed, wrong_with

WORST = Path(__file__).parent / "worst.txt"
SEED = int(os.environ.get("DRYDOWN_FUZZ_SEED", "1"))

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="asks for memory the way of Linux")


@pytest.mark.long
def test_the_worst_that_were_found_end_as_they_should(tmp_path: Path) -> None:
    words = [sys.executable, "-m", "tests.fuzz.worker", ",".join(KINDS), str(tmp_path / "room"), str(WORST)]
    ran = subprocess.run(words, capture_output=True, text=True, timeout=600)
    lines = [json.loads(line) for line in ran.stdout.splitlines()]
    assert ran.returncode == 0, ran.stderr[-2000:]
    assert [line for line in lines if "wrong" in line] == []
    ended = {line["kind"]: line["count"] for line in lines}
    assert ended == {kind: len(listed(kind, WORST)) for kind in KINDS} and all(ended.values())


def test_a_hundred_are_kept() -> None:
    assert sum(len(listed(kind, WORST)) for kind in KINDS) >= 100


@pytest.mark.long
def test_a_hundred_thousand_mutations_end_as_they_should(tmp_path: Path) -> None:
    """Hours on two cores. DRYDOWN_FUZZ_SEED draws others; the seed stands in every line of the report."""
    found = campaign(100_000, SEED, real=1000, folder=tmp_path)
    print(found)
    assert found.cases.total() == 100_000 and found.wrong == []


@pytest.mark.parametrize(
    ("ran", "wrong"),
    [
        (Ran(0, "fine", "", 1, 90), ""),
        (Ran(1, "", "a.txt. Expected: one. Found: none. Nothing was kept.\n", 1, 90), ""),
        (Ran(2, "", "", 1, 90), "not one sentence"),
        (Ran(1, "", "One.\nTwo.\n", 1, 90), "not one sentence"),
        (Ran(1, "", "Red \x1b[31m.\n", 1, 90), "control characters"),
        (Ran(1, "", "Traceback (most recent call last):\n", 1, 90), "Traceback"),
        (Ran(1, "", "drydown stopped on an unexpected fault.\n", 1, 90), "unexpected fault"),
        (Ran(0, "", "x.py:3: RuntimeWarning: overflow\n", 1, 90), "words on the other output"),
        (Ran(70, "", "", 1, 90), "exit 70"),
        (Ran(-11, "", "", 1, 90), "exit -11"),
        (Ran(0, "", "", 31, 90), "31 s"),
        (Ran(0, "", "", 1, 700), "700 MB"),
    ],
)
def test_what_counts_as_a_finding(ran: Ran, wrong: str) -> None:
    assert wrong_with(ran) == wrong
