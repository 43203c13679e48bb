"""The two clocks of Prepare run as long as the user's weighing.toml says."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from evaluation.archive.connection import open_archive
from evaluation.session import PrintingCondition
from evaluation.work import home
from evaluation.work.bench import Bench
from evaluation.work.describe import begin, prepare

NOW = datetime(2026, 3, 9, 12, tzinfo=UTC)
SAID = PrintingCondition(
    printer="Merrowby 24",
    paper="rag",
    made_for="general",
    driver_mode="through the profile",
    printed_at=NOW - timedelta(hours=30),
)


@pytest.fixture(
    params=[None, "[thresholds]\ndrying_wait = 48.0\n", "[thresholds\n"], ids=["shipped", "48", "broken"]
)
def bench(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Bench]:
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        yield Bench(archive, request.param, now=lambda: NOW)


def test_the_wait_for_drying_is_the_users(bench: Bench) -> None:
    session = begin.begin(bench, SAID, {})
    waits = bench.settings_text is not None and "48" in bench.settings_text
    (head,) = home.heads(bench)
    assert home.state(bench, head) == ("drying" if waits else "preparing")
    words = prepare.state_words(session, "dry", NOW, bench.clocks)
    assert words == (("not yet", "30 h of 48 h") if waits else ("done", "by its clock"))
