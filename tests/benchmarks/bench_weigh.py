"""A session of 300 patches weighed, profile included, beside the bare library calls; 30 stored results read.

    uv run python tests/benchmarks/bench_weigh.py [--rounds N]

Bare: Little CMS towards the device and back for the same aims, and dE00 of every draw of every patch, in turn
in one process, imports apart; the least processor time of all rounds, since other programs are busy too.
Promises (the project's own): at most 2.2 x the bare calls; 30 stored results in 30 ms, in full and by their
inputs, beside the same rows read by plain SQL; a session weighed before in 10 ms.
"""

import argparse
import json
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from evaluation.archive import sessions
from evaluation.archive.connection import Archive, open_archive
from evaluation.colorimetry.difference import delta_e_2000
from evaluation.judgement import weigh as judgement
from evaluation.judgement.tables import load_tables
from evaluation.profile import prediction
from evaluation.profile.engine import device_from_lab, lab_from_device
from evaluation.readings.supplied import Supplied
from evaluation.session import PrintingCondition, Session
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import begin
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.expected import expected_of
from evaluation.work.weigh.inputs import inputs_of
from fixtures.printer import icc

ROOM = Path(icc.__file__).parents[1]
PROFILE = ROOM / "profiles" / "sallowfell-lustre-finest.icc"
READINGS = ROOM / "readings" / "lustre-finest-strip.txt"
PATCHES, STORED = 300, 30


def least(works: dict[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Milliseconds of processor time of each, one after the other in every round."""
    times: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(rounds):
        for name, work in works.items():
            start = time.process_time()
            work()
            times[name].append(1000 * (time.process_time() - start))
    return {name: min(found) for name, found in times.items()}


def said(archive: Archive, made: Sequence[Session]) -> list[Session]:
    """The sessions as they stand by now."""
    return [sessions.load(archive, one.id) for one in made]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rounds", type=int, default=40)
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory() as place, open_archive(Path(place) / "b.db", create=True) as archive:
        bench = Bench(archive, now=lambda: datetime(2026, 3, 10, tzinfo=UTC))
        condition = PrintingCondition(profile=PROFILE.name, intent="relative colorimetric")
        made = [begin.begin(bench, condition, {}, profile=PROFILE.read_bytes()) for _ in range(STORED)]
        first = made[0].id
        read.take_in(
            bench, first, read.preview(bench, first, READINGS, Supplied(printed_as="managed", rgb_scale=255))
        )
        session = sessions.load(archive, first)
        sheet, tables = sheet_of(bench, session), load_tables()
        (taken, *_) = read.taken_in(bench, session)
        needed = (sheet.paper_patch, sheet.black_patch)
        some = dict(sorted(taken.matched.items(), key=lambda item: item[0] not in needed)[:PATCHES])
        takens = (replace(taken, matched=some),)
        promise = expected_of(bench, session).expected
        assert promise is not None
        aims = promise.aims[:PATCHES]
        draws = int(tables["bootstrap_draws"]) + 1
        measured = np.random.default_rng(1).normal(0, 1, (draws, PATCHES, 3)) + np.nan_to_num(aims, nan=50.0)

        def weighed() -> None:
            """With a promise of its own, as the first weighing of a session has."""
            own = replace(promise)
            judgement.weigh(session, sheet, takens, tables, expected=own)

        def first_of_profile() -> None:
            """And with a profile that no session of this process was weighed with before."""
            prediction._MESHES.clear()
            weighed()

        def bare() -> None:
            device = device_from_lab(promise.profile, aims, "relative colorimetric", black_compensation=True)
            delta_e_2000(np.nan_to_num(lab_from_device(promise.profile, device)), measured)

        for session_made in made:
            weigh.weigh(bench, session_made.id)
        digest = weigh.tables(bench).digest
        inputs = {one.id: inputs_of(bench, weigh.tables(bench))(one) for one in said(archive, made)}

        def stored() -> None:
            for one in made:
                assert weigh.stored(bench, inputs[one.id], one.id) is not None

        def again() -> None:
            weigh.weigh(bench, first)

        def plain() -> None:
            rows = archive.connection.execute("SELECT result FROM weighing WHERE settings = ?", (digest,))
            for (result,) in rows.fetchall():
                json.loads(result)

        works = {
            "first": first_of_profile,
            "bare": bare,
            "weighed": weighed,
            "stored": stored,
            "plain SQL": plain,
            "again": again,
        }
        for work in works.values():
            work()
        took = least(works, rounds)
    print(f"{len(some)} patches, {draws} draws: {took['weighed']:.1f} ms, bare calls {took['bare']:.1f} ms: "
          f"{took['weighed'] / took['bare']:.2f} x   promise: at most 2.2 x")  # fmt: skip
    print(f"the first of its profile: {took['first']:.1f} ms, {took['first'] / took['bare']:.2f} x")
    print(f"{STORED} stored: {took['stored']:.1f} ms, SQL {took['plain SQL']:.1f} ms   promise: 30 ms")
    print(f"weighed before, found again: {took['again']:.1f} ms   promise: 10 ms")


if __name__ == "__main__":
    main()
