"""Own reference prints: kept, due again after a while, and how steady an eye has been over them."""

import shutil
from datetime import timedelta
from math import sqrt

import pytest

from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.errors import UsageProblem
from evaluation.judgement.observers.drift import FIRST, course, drift
from evaluation.session import Grade
from evaluation.telling import references as words
from evaluation.work.bench import Bench, utc_now
from evaluation.work.log import say
from evaluation.work.look import look
from evaluation.work.references import due, references
from evaluation.work.references.document import document, told

NAMES = ("neutral", "ring", "shadow", "highlight", "skin", "saturation", "gradient", "detail", "tints")


class Clock:
    def __init__(self):
        self.at = utc_now()

    def __call__(self):
        return self.at


@pytest.fixture
def at(demo_archive, tmp_path):
    shutil.copy(demo_archive, tmp_path / "archive.db")
    with open_archive(tmp_path / "archive.db") as archive:
        yield Bench(archive, now=Clock())


def viewing(at, session, observer, grades):
    begun = look.start(at, session, observer=observer, kind="quick")
    given = {name: Grade(int(grade)) for name, grade in zip(NAMES, grades, strict=True)}
    say(
        at,
        session,
        [Draft("answer", f"{name}/overall", encoded(one), begun.id) for name, one in given.items()],
    )


def test_drift_has_an_error_that_a_few_regions_cannot_make_small():
    first = {(1, name): float(grade) for name, grade in zip(NAMES, (5, 4, 4, 3, 5, 4, 4, 5, 3), strict=True)}
    harsher = {item: grade - 1 for item, grade in first.items()}
    found = drift(first, harsher)
    # no spread at all: (4 x 2 x 0.6^2) / 12 pooled, over 9 regions; worked out by hand
    assert found.by == -1 and found.error == pytest.approx(sqrt(max(4 * 2 * 0.36 / 12, 2 * 0.29**2) / 9))
    assert found.beyond and found.regions == 9
    wobbly = {item: grade + (-1) ** place for place, (item, grade) in enumerate(first.items())}
    assert not drift(first, wobbly).beyond and drift(first, wobbly).error > found.error
    assert drift(first, dict(list(first.items())[:4])) is None  # fewer than five regions
    other = {(2, name): 4.0 for name in NAMES}
    assert course([first, other, harsher | other]) == (FIRST, FIRST, drift(first | other, harsher | other))


def test_references_are_kept_due_after_two_weeks_and_charted(at):
    assert due.due(at) is None and told(references.references(at)) == [words.NONE]
    for wrong, said in (((6,), "session 6 to be graded first"), (range(1, 8), "3 to 6 prints")):
        with pytest.raises(UsageProblem, match=said):
            references.keep(at, tuple(wrong))
        assert due.kept(at) == ()
    revision = at.archive.rows("SELECT revision FROM session WHERE id = 1")
    references.keep(at, (1, 4))
    assert "Own references: session 1 and 4. 3 or more are wanted." in told(references.references(at))
    references.keep(at, (1, 4, 5))
    assert at.archive.rows("SELECT revision FROM session WHERE id = 1") == revision  # results stay
    viewing(at, 4, "booth", "544343542")
    assert due.due(at) is None  # graded today
    at.now.at += timedelta(days=16)
    assert due.due(at).session == 1
    found = references.references(at)
    assert words.due(found.due, found.now).startswith("Reference due: session 1, Sallowfell Lustre 247, last")
    viewing(at, 4, "booth", "433232431")
    assert due.due(at) is None  # one of them is enough
    found = references.references(at)
    booth = [one for one in found.days if one.observer == "booth"]
    assert [one.drift == FIRST for one in booth] == [True, False] and booth[1].drift.by == -1
    text = told(found)
    assert any(
        line.startswith("booth now grades own references 1.0 ± 0.2 harsher than at first") for line in text
    )
    assert text[-1] == words.NEVER
    chart = words.chart(found.days)
    assert (
        chart.zero and chart.lines[-1].x[-1] - chart.lines[-1].x[0] == 16 and chart.lines[-1].spread[-1] > 0
    )
    last = document(found)["days"][-1]
    assert last["drift"] == -1.0 and last["beyond_error"] and not last["first_look"]
    references.keep(at, ())
    assert due.kept(at) == () and references.references(at).days == ()
