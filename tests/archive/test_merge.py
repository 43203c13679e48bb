"""Bundles and merges: a union of names. What is here stays, nothing comes twice, order does not matter."""

import contextlib
import shutil
import sqlite3
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from evaluation.archive import (
    backup,
    documents,
    entries,
    health,
    rounds,
    runs,
    session_list,
    sessions,
    triangles,
)
from evaluation.archive.bundles import make, merge, records, undoing
from evaluation.archive.bundles.differences import differences
from evaluation.archive.bundles.nouns import Choice
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.errors import ArchiveProblem, Cancelled, UsageProblem
from evaluation.observer import own_name
from evaluation.rounds import ODD
from evaluation.session import Grade

DATA = Path(__file__).parent / "data"


def grade(viewing, value, region="skin"):
    return Draft("answer", f"{region}/overall", encoded(Grade(value)), viewing)


@pytest.fixture
def rooms(archive, session_id, viewing_id, say, now, summarise, tmp_path, a_run):
    """Two archives that share a session: ours, and the copy of somebody who looks at the same print."""
    say(Draft("condition", "paper", "Rag"))
    say(grade(viewing_id, 4))
    (run,) = runs.keep(archive, session_id, [a_run], now, source=("strip.txt", b"readings"))
    say(Draft("readings", str(run), "in"))
    made = make.make(archive, [session_id], tmp_path / "to.bundle", now, "0.2.0")
    assert (made.sessions, made.also, made.documents) == ((session_id,), (), 2)
    with open_archive(tmp_path / "theirs.db", create=True) as theirs:
        merge.merge(theirs, [tmp_path / "to.bundle"], now, summarise)
        yield archive, theirs


def lasting(archive):
    """Everything an archive holds, whatever its numbers are: what a merge must agree about."""
    numbers = [number for (number,) in archive.rows("SELECT id FROM session")]
    held = records.read(archive.connection, numbers)
    removed = archive.rows("SELECT uid, removed IS NULL FROM session ORDER BY uid")
    ordinals = archive.rows(
        "SELECT s.uid, v.ordinal, v.observer, v.started "
        "FROM viewing AS v JOIN session AS s ON s.id = v.session "
        "ORDER BY s.uid, v.ordinal"
    )
    uids = dict(archive.rows("SELECT id, uid FROM session"))
    open_ = {
        (uids[one.session], one.kind, one.subject, frozenset(str(each.value) for each in one.versions))
        for one in differences(archive)
    }
    apart = {(uid, subject) for uid, _, subject, _ in open_}
    conditions = {
        (uid, "paper"): sessions.load(archive, number).condition.paper
        for number, uid in uids.items()
        if (uid, "paper") not in apart
    }
    answers = {
        (uid, own_name(viewing.observer), viewing.started, key): answer.value
        for number, uid in uids.items()
        for viewing in sessions.load(archive, number).viewings
        for key, answer in viewing.answers.items()
        if (uid, "/".join(key)) not in apart
    }
    lines = sorted(record.line for record in held.records.values())
    return lines, held.live(), held.sights, removed, ordinals, open_, conditions, answers


def test_a_second_observer_looks_elsewhere_and_both_are_there(rooms, now, summarise, tmp_path):
    ours, theirs = rooms
    (number,) = (head.id for head in session_list.heads(theirs))
    order = ["skin", "neutral"]
    theirs_looks = sessions.start_viewing(
        theirs, number, "Berta", "full", order, now + timedelta(hours=1), summarise
    )
    entries.say(theirs, number, [grade(theirs_looks.id, 2)], now, summarise)
    make.make(theirs, [number], tmp_path / "back.bundle", now, "0.2.0")
    asked = merge.merge(ours, [tmp_path / "back.bundle"], now, summarise, dry_run=True)
    assert [one.observer for one in sessions.load(ours, 1).viewings] == ["observer 1"]
    merged = merge.merge(ours, [tmp_path / "back.bundle"], now, summarise)
    (came,) = merged.sessions
    assert not came.new and (came.viewings, came.entries, came.readings) == (1, 1, 0)
    assert came.observers == ("Berta",) and asked.sessions == merged.sessions
    assert (asked.kept, merged.kept) == ("", "prints.before-merge-1.db")
    session = sessions.load(ours, 1)
    skin = [viewing.answers["skin", "overall"].value.value for viewing in session.viewings]
    assert skin == [4, 2] and session.condition.paper == "Rag"
    assert runs.of_session(ours, 1)[0].source_name == "strip.txt"
    assert entries.undo(ours, 1, session.viewings[1].id, now, summarise)[0].kind == "readings"  # never hers
    for archive in rooms:
        assert health.check(archive).sound, health.check(archive).troubles
    assert not merge.merge(ours, [tmp_path / "back.bundle"] * 2, now, summarise).anything
    assert not list(tmp_path.glob("*merge-2*"))


def test_what_both_entered_stands_until_one_chooses_and_the_choice_travels(rooms, now, summarise, tmp_path):
    ours, theirs = rooms
    for archive, paper in ((ours, "Rag 310"), (theirs, "Rag Smooth")):
        entries.say(archive, 1, [Draft("condition", "paper", paper)], now, summarise)
    exchange(ours, theirs, now, summarise, tmp_path / "x")
    assert [sessions.load(one, 1).condition.paper for one in rooms] == ["Rag 310", "Rag Smooth"]
    for archive in rooms:
        (one,) = differences(archive)
        assert (one.kind, one.subject, {each.value for each in one.versions}) == (
            "condition",
            "paper",
            {"Rag 310", "Rag Smooth"},
        )
        assert [each.here for each in one.versions] == [False, True]
        assert health.check(archive).sound, health.check(archive).troubles
    entries.say(theirs, 1, [Draft("condition", "paper", "Rag 310 Smooth")], now, summarise)
    assert differences(theirs) == ()
    exchange(theirs, ours, now, summarise, tmp_path / "y")
    assert differences(ours) == () and sessions.load(ours, 1).condition.paper == "Rag 310 Smooth"
    assert lasting(ours) == lasting(theirs)


@pytest.mark.long
def test_a_role_is_one_person_in_a_family_of_archives_and_a_name_everywhere(rooms, now, summarise, tmp_path):
    """ "observer 1" of another archive is somebody else here, also in bundles; that of a copy is not."""
    ours, theirs = rooms
    for archive, hours in ((theirs, 1), (ours, 2)):
        for observer in ("observer 1", "Berta"):
            at = now + timedelta(hours=hours)
            looks = sessions.start_viewing(archive, 1, observer, "full", ["skin"], at, summarise)
            entries.say(archive, 1, [grade(looks.id, 2)], now, summarise)
            ring = dict(zip("KM", (1, 1), strict=True))
            rounds.begin(archive, observer=observer, region="skin", ask="x", prints=ring, shown=[], now=at)
    odd = rounds.begin(
        theirs, observer="Berta", region="skin", ask=ODD, prints=ring, shown=[("K", "K", "M")], now=now
    )
    triangles.name_odd(theirs, odd.id, 0, "middle", now)
    backup.backup(ours, tmp_path / "copy.db")
    with open_archive(tmp_path / "copy.db") as copy:
        at = now + timedelta(hours=3)
        looks = sessions.start_viewing(copy, 1, "observer 1", "full", ["skin"], at, summarise)
        entries.say(copy, 1, [grade(looks.id, 3)], at, summarise)
        for source, name in ((theirs, "theirs"), (copy, "copy")):
            make.make(source, [1], tmp_path / f"{name}.bundle", now, "0.2.0")
    merged = merge.merge(ours, [tmp_path / "theirs.bundle", tmp_path / "copy.bundle"], now, summarise)
    (of_theirs, of_copy) = merged.sessions
    assert (of_theirs.observers, of_copy.observers) == (("observer 1 (elsewhere)", "Berta"), ("observer 1",))
    assert (of_theirs.same_name, of_copy.same_name) == (("Berta",), ("observer 1",))
    looked = ["observer 1", "observer 1 (elsewhere)", "Berta", "observer 1", "Berta", "observer 1"]
    session = sessions.load(ours, 1)
    assert [one.observer for one in session.viewings] == looked
    assert session.role("observer 1 (elsewhere)") == "observer 2" and session.role("Berta") == "observer 3"
    assert sessions.looked_at(ours, "observer 1 (elsewhere)") == (1,)
    assert sessions.observers_by_print(ours, session.sheet_digest) == {1: frozenset(looked)}
    assert [one.observer for one in rounds.among(ours, [1])] == [looked[0], "Berta", looked[1], "Berta"]
    assert {name for (name,) in ours.rows("SELECT observer FROM report_grades")} == set(looked)
    (odd,) = triangles.among(ours, [1])
    assert odd.answers == {0: "middle"} and not odd.is_open and odd.observer == "Berta"
    make.make(ours, [1], tmp_path / "on.bundle", now, "0.2.0")
    make.make(ours, [1], tmp_path / "nameless.bundle", now, "0.2.0", names=False)
    with open_archive(tmp_path / "on.bundle", read_only=True) as looked_at:
        assert {one.observer for one in sessions.load(looked_at, 1).viewings} == set(looked)
    with open_archive(tmp_path / "third.db", create=True) as third:
        merge.merge(third, [tmp_path / "on.bundle"], now, summarise)
        third_looked = [one.observer for one in sessions.load(third, 1).viewings]
        assert third_looked[0] == third_looked[3] != third_looked[1] and len(set(third_looked)) == 3
        assert all(own_name(one) in looked for one in third_looked)
    with open_archive(tmp_path / "nameless.bundle", read_only=True) as nameless:
        viewings = sorted(sessions.load(nameless, 1).viewings, key=lambda one: one.started)
        roles = [one.observer for one in viewings]
        assert roles[0] == roles[3] == roles[5] and set(roles) == {"observer 1", "observer 2", "observer 3"}
    assert health.check(ours).sound, health.check(ours).troubles


def exchange(one, other, now, summarise, stem):
    for number, (source, into) in enumerate(((one, other), (other, one))):
        file = stem.with_suffix(f".{number}.bundle")
        make.make(source, [head.id for head in session_list.heads(source)], file, now, "0.2.0")
        merge.merge(into, [file], now, summarise)


def test_a_merge_taken_back_leaves_what_was_there(rooms, now, summarise, tmp_path):
    ours, theirs = rooms
    before = lasting(ours)
    entries.say(theirs, 1, [Draft("remark", "describe", "curls")], now, summarise)
    make.make(theirs, [1], tmp_path / "b.bundle", now, "0.2.0")
    merge.merge(ours, [tmp_path / "b.bundle"], now, summarise)
    assert lasting(ours) != before
    undoing.undo(ours)
    assert lasting(ours) == before and undoing.last(ours) is None
    with pytest.raises(UsageProblem, match="archive without one"):
        undoing.undo(ours)
    merge.merge(ours, [tmp_path / "b.bundle"], now, summarise)
    entries.say(ours, 1, [Draft("remark", "read", "mine")], now + timedelta(hours=2), summarise)
    with pytest.raises(UsageProblem, match=r"would be lost.*before-merge-2\.db"):
        undoing.undo(ours)
    assert sessions.load(ours, 1).remarks == {"describe": "curls", "read": "mine"}


@pytest.mark.long
def test_the_last_copies_are_kept_and_one_in_use_is_never_cleared(rooms, now, summarise, tmp_path):
    ours, theirs = rooms
    kept = []
    for number in range(1, 7):
        entries.say(theirs, 1, [Draft("remark", "describe", f"curls {number}")], now, summarise)
        file = tmp_path / f"{number}.bundle"
        make.make(theirs, [1], file, now, "0.2.0")
        kept.append(merge.merge(ours, [file], now, summarise).kept)
        if number == 2:  # somebody goes on in this one
            with open_archive(tmp_path / kept[-1]) as copy:
                entries.say(copy, 1, [Draft("remark", "read", "here")], now, summarise)
    there = sorted(each.name for each in tmp_path.glob("prints.before-merge*.db"))
    assert kept == [f"prints.before-merge-{number}.db" for number in range(1, 7)]
    assert there == [kept[place] for place in (1, 3, 4, 5)]
    remarks = []
    for _ in range(3):
        undoing.undo(ours)
        remarks.append(sessions.load(ours, 1).remarks.get("describe"))
    assert remarks == ["curls 5", "curls 4", "curls 3"]
    with pytest.raises(UsageProblem, match="Copies are kept of the last 3 merges"):
        undoing.undo(ours)
    assert undoing.last(ours).kept.name == kept[2]


def test_choices_are_part_of_the_merge_and_taken_back_with_it(rooms, now, summarise, tmp_path):
    ours, theirs = rooms
    for archive, paper in ((ours, "Rag 310"), (theirs, "Rag Smooth")):
        entries.say(archive, 1, [Draft("condition", "paper", paper)], now, summarise)
    make.make(theirs, [1], tmp_path / "b.bundle", now, "0.2.0")
    asked = merge.merge(ours, [tmp_path / "b.bundle"], now, summarise, dry_run=True)
    (one,) = asked.differences
    queries = []
    theirs.connection.set_trace_callback(queries.append)
    assert differences(theirs) == ()
    theirs.connection.set_trace_callback(None)
    for query in queries:  # it costs what came by merges, not what is there
        steps = [row[3] for row in theirs.rows(f"EXPLAIN QUERY PLAN {query}")]
        assert not [step for step in steps if step.endswith("(what=?)") or step.startswith("SCAN e ")], steps
    assert sessions.load(ours, 1).condition.paper == "Rag 310" and differences(ours) == ()
    chosen = [
        Choice(one, "Rag Smooth"),
        Choice(one, "never there"),
        Choice(replace(one, subject="inks"), "x"),
    ]
    merged = merge.merge(ours, [tmp_path / "b.bundle"], now, summarise, choices=chosen)
    assert merged.differences == () and sessions.load(ours, 1).condition.paper == "Rag Smooth"
    assert [each.entry.value for each in entries.history(ours, 1)[-1:]] == ["Rag Smooth"]
    assert health.check(ours).sound, health.check(ours).troubles
    undoing.undo(ours)
    assert sessions.load(ours, 1).condition.paper == "Rag 310" and differences(ours) == ()


def test_a_merge_or_a_bundle_that_is_stopped_leaves_nothing(rooms, now, summarise, tmp_path):
    ours, theirs = rooms
    entries.say(theirs, 1, [Draft("remark", "describe", "curls")], now, summarise)
    make.make(theirs, [1], tmp_path / "b.bundle", now, "0.2.0")
    before, seen = lasting(ours), []

    def stop(after):
        seen.clear()

        def told(done, parts, about):
            seen.append((done, parts, about))
            if len(seen) >= after:
                raise Cancelled("Stopped.")

        return told

    for after in (1, 2, 3, 4):
        with pytest.raises(Cancelled):
            merge.merge(ours, [tmp_path / "b.bundle"], now, summarise, progress=stop(after))
        assert lasting(ours) == before and not ours.connection.in_transaction
        assert not list(tmp_path.glob("prints.before*"))
    *abouts, copying = [about for _, _, about in seen]
    assert abouts == ["document 1 of 2", "document 2 of 2", "session 1 of 1"] and copying.endswith(" pages")
    assert [done for done, _, _ in seen] == sorted(done for done, _, _ in seen)
    for after in (1, 3):
        with pytest.raises(Cancelled):
            make.make(ours, [1], tmp_path / "stopped.bundle", now, "0.2.0", progress=stop(after))
    assert not list(tmp_path.glob("*stopped*")) and not list(tmp_path.glob(".drydown*"))
    merge.merge(ours, [tmp_path / "b.bundle"], now, summarise, progress=stop(99))
    assert lasting(ours) == lasting(theirs)


def test_a_bundle_of_an_earlier_version_is_brought_up_to_date_in_a_copy(rooms, now, summarise, tmp_path):
    """The first version that had bundles made it: its tables, its rows, its digests."""
    ours, theirs = rooms
    older = tmp_path / "older.bundle"
    with contextlib.closing(sqlite3.connect(older)) as made:
        made.executescript((DATA / "bundle-version-8.sql").read_text("utf-8"))
    sent = older.read_bytes()
    with open_archive(older) as look:
        assert look.read_only and sessions.load(look, 1).remarks == {"describe": "curls"}
        assert session_list.count(look) == 1 and health.check(look).sound, health.check(look).troubles
    for archive in rooms:
        (came,) = merge.merge(archive, [older], now, summarise).sessions
        assert came.new and came.paper == "Rag" and (came.viewings, came.readings) == (2, 1)
        assert not merge.merge(archive, [older], now, summarise).anything
    assert older.read_bytes() == sent
    assert [one.answers["skin", "overall"].value.value for one in sessions.load(ours, 2).viewings] == [4, 3]
    exchange(ours, theirs, now, summarise, tmp_path / "x")  # what both have of it is the same
    with contextlib.closing(sqlite3.connect(older)) as changed:
        changed.execute("CREATE TRIGGER mine AFTER INSERT ON session BEGIN DELETE FROM document; END")
    with pytest.raises(ArchiveProblem, match=r"older\.bundle.*tables that are not as that version made them"):
        merge.merge(ours, [older], now, summarise)


def test_readings_shown_before_any_viewing_bind_the_copy_where_they_were_shown(
    rooms, now, summarise, tmp_path
):
    ours, theirs = rooms
    entries.say(theirs, 1, [Draft("reveal", "skin", True)], now, summarise)
    exchange(theirs, ours, now, summarise, tmp_path / "x")
    assert set(sessions.load(theirs, 1).revealed) == {"skin"} and not sessions.load(ours, 1).revealed


# Any order --------------------------------------------------------------------------------------------

STEPS = st.lists(
    st.tuples(
        st.integers(0, 2),  # whose archive
        st.sampled_from(["paper", "grade", "look", "undo", "redo", "remove", "reveal", "begin", "merge"]),
        st.integers(1, 5),
    ),
    max_size=12,
)


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    max_examples=settings.default.max_examples // 16,
    phases=(Phase.reuse, Phase.generate),
)
@given(steps=STEPS)
def test_merges_come_to_the_same_in_any_order_and_any_number(steps, tmp_path_factory, now, summarise):
    folder = tmp_path_factory.mktemp("rooms")
    first = folder / "a.db"
    with open_archive(first, create=True) as archive:
        sheet = documents.keep(archive, "sheet", "colour.toml", b"format = 1\n")
        begin(archive, sheet, now, summarise)
        for name in "bc":
            backup.backup(archive, folder / f"{name}.db")
    three = [open_archive(folder / f"{name}.db") for name in "abc"]
    for place, (who, what, value) in enumerate(steps):
        if what == "merge":
            carry(three[value % 3], three[who], folder / f"step-{place}", now, summarise)
        else:
            act(three[who], what, value, sheet, now + timedelta(minutes=place), summarise)
    bundles = [bundle(archive, folder / f"end-{place}", now) for place, archive in enumerate(three)]
    others = [bundles[1:] + bundles[1:], [bundles[0], bundles[2]], [bundles[1]]]
    for archive, files in zip(three[:2], others, strict=False):
        merge.merge(archive, [file for file in files if file], now, summarise)
    merge.merge(three[2], [file for file in bundles[1::-1] if file], now, summarise)  # the other way about
    found = [lasting(archive) for archive in three]
    assert found[0] == found[1] == found[2]
    for archive in three:
        assert health.check(archive).sound, health.check(archive).troubles
        archive.close()
    shutil.rmtree(folder)


def bundle(archive, file, now):
    every = [number for (number,) in archive.rows("SELECT id FROM session")]
    if every:
        make.make(archive, every, file, now, "0.2.0")
        return file
    return None


def carry(source, into, file, now, summarise):
    if source is not into and bundle(source, file, now):
        merge.merge(into, [file], now, summarise)


def begin(archive, sheet, now, summarise):
    number = sessions.create(archive, sheet_digest=sheet, now=now)
    entries.say(archive, number, [Draft("condition", "paper", "Rag")], now, summarise)
    sessions.start_viewing(archive, number, "Ada", "full", ["skin"], now, summarise)


def act(archive, what, value, sheet, now, summarise):
    listed = [head.id for head in session_list.heads(archive)]
    if what == "begin" or not listed:
        return begin(archive, sheet, now, summarise)
    number = listed[value % len(listed)]
    viewing = sessions.newest_viewing(archive, number)
    match what:
        case "paper":
            drafts = [Draft("condition", "paper", f"paper {value}")]
        case "grade":
            drafts = [grade(viewing, value)]
        case "reveal":
            drafts = [Draft("reveal", "skin", True, viewing if value % 2 else None)]
        case "look":
            return sessions.start_viewing(archive, number, f"eye {value}", "full", ["skin"], now, summarise)
        case "undo":
            return entries.undo(archive, number, viewing, now, summarise)
        case "redo":
            return entries.redo(archive, number, viewing, now, summarise)
        case "remove":
            return session_list.remove(archive, number, now)
    return entries.say(archive, number, drafts, now, summarise)


def test_what_a_session_leans_on_comes_along_under_new_numbers(
    archive, session_id, viewing_id, say, sheet_digest, now, summarise, tmp_path
):
    second = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    entries.say(archive, second, [Draft("condition", "black_from", session_id)], now, summarise)
    laid = rounds.begin(
        archive,
        observer="Ada",
        region="skin",
        ask="better",
        prints={"K": session_id, "T": second},
        shown=[("K", "T")],
        now=now,
    )
    rounds.judge(archive, laid.id, 0, "right", now)
    picture = documents.keep(archive, "picture", "fault.png", b"\x89PNG")
    say(Draft("attachment", "skin/banding", {"digest": picture, "caption": ""}, viewing_id))
    bare, whole = tmp_path / "bare.bundle", tmp_path / "whole.bundle"
    assert make.make(archive, [second], bare, now, "0.2.0", pictures=False).also == (session_id,)
    make.make(archive, [second], whole, now, "0.2.0")
    with open_archive(tmp_path / "theirs.db", create=True) as theirs:
        own = documents.keep(theirs, "sheet", "own.toml", b"")
        sessions.create(theirs, sheet_digest=own, now=now)  # theirs counts from 2
        came = merge.merge(theirs, [bare], now, summarise)
        assert (came.rounds, came.judgements, came.documents) == (1, 1, 1)
        assert theirs.row("SELECT 1 FROM document WHERE digest = ?", (picture,)) is None
        one, two = (each.number for each in came.sessions)
        assert (one, two) == (2, 3) and sessions.load(theirs, two).condition.black_from == one
        (found,) = rounds.among(theirs, [one, two])
        assert found.prints == {"K": one, "T": two} and found.judged == ((one, two, two),)
        assert merge.merge(theirs, [whole], now, summarise).documents == 1
        assert documents.fetch(theirs, picture)[1] == b"\x89PNG"
        assert health.check(theirs).sound, health.check(theirs).troubles
