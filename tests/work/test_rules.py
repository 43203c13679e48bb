"""The version of the rules is raised whenever they give other results: else old ones would pass for new.

What the rules of this version make of the demo is kept as digests in `rules.txt`, numbers to four figures.
After raising `RULES` in `evaluation/judgement/rules.py`:

    uv run python -m tests.work.test_rules --write && uv run python -m fixtures.make
"""

import hashlib
import json
import shutil
import sys
import tempfile
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive.connection import open_archive
from evaluation.judgement import codec
from evaluation.judgement.rules import RULES
from evaluation.work.bench import Bench
from evaluation.work.compare import compare
from evaluation.work.weigh import weigh
from fixtures import weighed
from tests.cases import some_now
from tests.conftest import finish

KEPT = Path(__file__).parent / "rules.txt"
KEPT_WEIGHINGS = Path(weighed.__file__).parent / "weighed"
NOW = datetime(2026, 3, 12, 9, tzinfo=UTC)
SESSIONS = (1, 2, 3, 4, 5, 6)


def found(path: Path, compared: Sequence[int] = SESSIONS) -> list[str]:
    """One line a result: what it is, and a digest of all its numbers and words."""
    with open_archive(path) as archive:
        bench = Bench(archive, now=lambda: NOW)
        lines = [f"rules {RULES}"]
        for session in SESSIONS:
            lines += _lines(f"session {session}", json.loads(codec.encoded(weigh.weigh(bench, session))))
        matrix = compare.worked_out(bench, compared, every_pair=True)
        for (a, b), rows in matrix.differences.items():
            lines.append(f"sessions {a} and {b}: {_digest(json.loads(codec.encoded(rows)))}")
    return lines


def _lines(name: str, weighing: dict[str, Any]) -> Iterator[str]:
    for part, value in weighing.items():
        if part not in ("session", "revision", "inputs"):
            yield f"{name}, {part}: {_digest(value)}"


def _digest(value: Any) -> str:
    return hashlib.sha256(json.dumps(_coarse(value)).encode()).hexdigest()[:16]


def _coarse(value: Any) -> Any:
    """Another machine may differ in the last digits."""
    if isinstance(value, float):
        return f"{value + 0.0:.4g}"
    if isinstance(value, list):
        return [_coarse(part) for part in value]
    if isinstance(value, dict):
        return {key: _coarse(part) for key, part in value.items()}
    return value


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[int, str]]:
    """The finished demo with nothing taken from the weighings that lie kept, and what it came to instead."""
    made = {}

    def anew(bench: Bench, session: int) -> None:
        made[session] = weighed.text_of(weigh.weigh(bench, session))

    return finish(tmp_path_factory.mktemp("rules") / "demo.db", NOW, anew), made


def test_the_weighings_that_come_with_the_demo_are_what_it_would_weigh(
    fresh: tuple[Path, dict[int, str]],
) -> None:
    kept = {session: (KEPT_WEIGHINGS / f"{session}.json").read_text("utf-8") for session in fresh[1]}
    assert set(kept) == {1, 2, 3, 4}
    for session, text in fresh[1].items():
        same = _coarse(json.loads(kept[session])) == _coarse(json.loads(text))
        assert same, f"session {session}: run `python -m fixtures.make`"


def test_a_kept_weighing_of_other_rules_is_not_taken(
    finished_archive: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken, asked = [], []
    monkeypatch.setattr(weighed.weigh, "put", lambda _, weighing, __: taken.append(weighing.session))
    monkeypatch.setattr(weighed.weigh, "weigh", lambda _, session: asked.append(session))
    with open_archive(shutil.copy(finished_archive, tmp_path / "demo.db")) as archive:
        weighed.keep(Bench(archive), 2)
        assert (taken, asked) == ([2], [])
        monkeypatch.setattr("evaluation.judgement.weigh.RULES", RULES + 1)
        weighed.keep(Bench(archive), 2)
    assert (taken, asked) == ([2], [2])


@pytest.mark.parametrize("compared", some_now([(1, 4), SESSIONS], (1, 4)))
def test_other_results_are_those_of_other_rules(
    fresh: tuple[Path, dict[int, str]], compared: tuple[int, ...]
) -> None:
    kept, now = KEPT.read_text("utf-8").splitlines(), found(fresh[0], compared)
    if compared != SESSIONS:
        pair = f"sessions {compared[0]} and {compared[1]}:"
        kept = [line for line in kept if not line.startswith("sessions") or line.startswith(pair)]
    other = sorted({line.partition(":")[0] for line in set(now) ^ set(kept)})
    assert not other, f"raise RULES and write the digests anew, see above; other results: {'; '.join(other)}"


def _write() -> None:
    with tempfile.TemporaryDirectory() as place:
        now = found(finish(Path(place) / "demo.db", NOW, weigh.weigh))
    kept = KEPT.read_text("utf-8").splitlines() if KEPT.exists() else [""]
    if kept != now and kept[0] == now[0]:
        sys.exit(f"Results differ and RULES is still {RULES}: raise it first.")
    KEPT.write_text("\n".join(now) + "\n", "utf-8")


if __name__ == "__main__" and "--write" in sys.argv:
    _write()
