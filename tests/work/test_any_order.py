"""A result is a function of its session, its settings and what they name: whatever was worked out before.

Every session of the demo is weighed, compared and written up, in shuffled orders, with nothing kept and with
everything kept. What comes out is the same, byte for byte.
"""

import json
import random
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from evaluation.appendix.drawing import figures
from evaluation.archive.connection import open_archive
from evaluation.work.bench import Bench
from evaluation.work.compare import compare, document
from evaluation.work.compare import facts as compare_facts
from evaluation.work.describe import begin, fields
from evaluation.work.weigh import weigh
from evaluation.work.weigh.document import document as weighing_document
from evaluation.work.write_up import write_up

NOW = datetime(2026, 11, 24, 14, 2, tzinfo=UTC)
SESSIONS = (1, 2, 3, 4, 5, 6)
TABLES = ((1, 4), (6, 4), (3, 2), (5, 1, 6), (2, 4))  # prints laid side by side
WORKS = (
    *(("weigh", (one,)) for one in SESSIONS),
    *(("compare", ids) for ids in TABLES),
    *(("write up", ids) for ids in (*((one,) for one in SESSIONS), (4, 1))),
)
Work = tuple[str, tuple[int, ...]]
Told = dict[Work, bytes]


@pytest.fixture(scope="module", autouse=True)
def without_drawings() -> Iterator[None]:
    """Figures as their numbers: drawing them takes most of the time and adds nothing."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(figures, "svg", lambda figure, wide=None: f"<svg {figure!r}")
        yield


@pytest.fixture(scope="module")
def emptied(finished_archive: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, all of it finished, and nothing of it worked out. Session 2 names the black of session 3."""
    path = tmp_path_factory.mktemp("emptied") / "room.db"
    shutil.copyfile(finished_archive, path)
    with open_archive(path) as archive:
        bench = Bench(archive, now=lambda: NOW)
        begin.say_condition(bench, 2, "profile_digest", None)
        fields.say_field(bench, 2, "black_from", "session 3")
        for table in ("verdict", "weighing", "comparison"):
            archive.connection.execute(f"DELETE FROM {table}")
    return path


@pytest.fixture(scope="module")
def expected(emptied: Path, tmp_path_factory: pytest.TempPathFactory) -> Told:
    """The works in their own order, nothing kept before."""
    return told(emptied, tmp_path_factory.mktemp("in order") / "room", list(WORKS))[0]


def told(emptied: Path, folder: Path, works: list[Work], times: int = 1) -> list[Told]:
    """What comes of these works in this order, in a copy of the archive, each time they are done."""
    folder.mkdir()
    path = Path(shutil.copy(emptied, folder / "room.db"))
    found = []
    for _ in range(times):
        with open_archive(path) as archive:
            found.append(dict(_worked(Bench(archive, now=lambda: NOW), works, folder)))
    return found


def _worked(bench: Bench, works: list[Work], folder: Path) -> Iterator[tuple[Work, bytes]]:
    for work in works:
        match work:
            case ("weigh", (one,)):
                yield work, json.dumps(weighing_document(weigh.weigh(bench, one))).encode()
            case ("compare", ids):
                matrix = compare.worked_out(bench, ids, every_pair=True)
                facts = {one: compare_facts.facts(bench, one) for one in ids}
                table = document.document(matrix, compare.use_of(matrix), facts)
                yield work, (json.dumps(table) + document.as_csv(matrix)).encode()
            case (_, ids):
                page = folder / f"{'-'.join(map(str, ids))}.md"
                written = write_up.write(bench, ids, page, overwrite=True)
                files = sorted((written.path, *written.beside))
                yield work, b"".join(file.read_bytes() for file in files)


def differing(found: Told, expected: Told) -> list[Work]:
    return [work for work in WORKS if found[work] != expected[work]]


def shuffled(seed: int) -> list[Work]:
    works = list(WORKS)
    random.Random(seed).shuffle(works)
    return works


@pytest.mark.long
def test_a_result_depends_neither_on_what_was_worked_out_before_nor_on_its_being_kept(
    emptied: Path, expected: Told, tmp_path: Path
) -> None:
    first, again = told(emptied, tmp_path / "shuffled", shuffled(1), times=2)
    assert differing(first, expected) == []
    assert differing(again, expected) == []


@pytest.mark.long
@pytest.mark.parametrize("seed", range(10, 40))
def test_in_many_orders_too(emptied: Path, expected: Told, tmp_path: Path, seed: int) -> None:
    found = told(emptied, tmp_path / "warm", shuffled(seed), times=1 + seed % 2)
    assert [differing(one, expected) for one in found] == [[]] * len(found)
