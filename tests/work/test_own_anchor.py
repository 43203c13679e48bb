"""An observer's own spread of the anchors comes from what the archive holds of that observer alone."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from evaluation.archive import weighings
from evaluation.archive.connection import open_archive
from evaluation.work import weigh
from evaluation.work.bench import Bench
from fixtures import demo

NOW = datetime(2026, 3, 12, tzinfo=UTC)
CAVEAT = "How far the anchors fit the eye"


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("room") / "demo.db"
    demo.build(path)
    return path


def settings(pairs: int) -> str:
    return f"[thresholds]\nanchor_pairs = {pairs}\n"


@pytest.mark.parametrize(("pairs", "in_force"), [(3, True), (500, False)])
def test_it_is_said_while_in_force(told: Path, pairs: int, in_force: bool) -> None:
    with open_archive(told) as archive:
        bench = Bench(archive, now=lambda: NOW, settings_text=settings(pairs))
        weigh.weigh(bench, 1)
        caveats = weigh.weigh(bench, 4).caveats
        observers = {row[0] for row in archive.rows("SELECT observer FROM viewing WHERE session IN (1, 4)")}
    assert len(observers) == 1
    assert any(caveat.startswith(CAVEAT) for caveat in caveats) is in_force


def test_sessions_of_others_and_the_session_itself_are_left_out(told: Path) -> None:
    with open_archive(told) as archive:
        digest = weigh.tables(bench := Bench(archive, now=lambda: NOW)).digest
        weigh.weigh(bench, 1)
        (observer,) = archive.row("SELECT observer FROM viewing WHERE session = 1")
        mine = weighings.of_observer(archive, observer, digest, but=0)
        assert len(weighings.of_observer(archive, observer, digest, but=1)) == len(mine) - 1
        assert weighings.of_observer(archive, "nobody", digest, but=0) == ()
