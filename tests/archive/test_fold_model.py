"""One step on is the same as the whole log read anew: whatever is said, undone and redone, by two programs.

The order counts too: faults and remarks are shown in the order they were said.
"""

from dataclasses import fields, is_dataclass

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evaluation.archive import entries, sessions
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.fold import Fold, folded, further, subject_of
from evaluation.session import Count, Grade

VALUES = {
    "condition": (("paper", "Rag"), ("paper", "Baryta"), ("quality", "5"), ("scent", "fresh")),
    "readiness": (("dry", {"mark": "done"}), ("flat", {"mark": "not done", "detail": {"mm": 3.0}})),
    "timer": (("adaptation", "2024-03-02T14:00:00+00:00"), ("adaptation", "2024-03-02T15:00:00+00:00")),
    "readings": (("4", "in"), ("4", "out"), ("7", "in")),
    "written": (("a" * 64, {"file": "a.html"}),),
    "remark": (("skin", "a line"), ("shadow", "two lines"), ("skin", "none after all")),
    "reveal": (("skin", True), ("shadow", True)),
    "attachment": (("skin/band", {"digest": "b" * 64, "caption": ""}),),
    "answer": (
        ("skin/hue", encoded(Grade(4))),
        ("skin/hue", encoded(Grade(2))),
        ("shadow/steps", encoded(Count(3))),
    ),
    "fault": (
        ("skin/band", {"where": "left"}),
        ("skin/dots", {"where": ""}),
        ("shadow/band", {"where": ""}),
        ("skin/", {"none": True}),
    ),
    "again": (("skin", True), ("shadow", True)),
}
OUTSIDE_LOOK = ("condition", "readiness", "timer", "readings", "written", "remark", "reveal", "attachment")
IN_LOOK = ("answer", "answer", "fault", "fault", "again", "remark", "reveal", "attachment")


@st.composite
def drafts(draw):
    """What one key press says: one to three drafts, some of which withdraw."""
    viewing = draw(st.sampled_from((None, 0, 1)))
    kinds = OUTSIDE_LOOK if viewing is None else IN_LOOK
    kind = draw(st.sampled_from(kinds))
    said = draw(st.lists(st.sampled_from(VALUES[kind]), min_size=1, max_size=3))
    withdrawn = kind != "reveal" and draw(st.booleans()) and draw(st.booleans())
    return viewing, [(kind, subject, None if withdrawn else value) for subject, value in said]


acts = st.tuples(
    st.sampled_from(("say", "say", "say", "undo", "undo", "redo")), drafts(), st.sampled_from((0, 0, 0, 1))
)


def in_order(value):
    """The same with every mapping as a list of pairs, so that their order counts."""
    if is_dataclass(value) and not isinstance(value, type):
        return [in_order(getattr(value, each.name)) for each in fields(value)]
    if isinstance(value, dict):
        return [(key, in_order(one)) for key, one in value.items()]
    if isinstance(value, tuple):
        return [in_order(one) for one in value]
    return value


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(script=st.lists(acts, max_size=30))
def test_the_session_after_each_key_is_the_session_read_anew(archive, sheet_digest, now, summarise, script):
    session_id = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    viewings = [
        sessions.start_viewing(archive, session_id, str(number), "full", (), now, summarise).id
        for number in range(2)
    ]
    seen = []

    def shown(session):
        seen[:] = [session]
        return summarise(session)

    with open_archive(archive.path) as other:
        for verb, (viewing, said), program in script:
            at = (archive, other)[program]
            where = None if viewing is None else viewings[viewing]
            if verb == "say":
                entries.say(at, session_id, [Draft(*each, where) for each in said], now, shown)
            else:
                {"undo": entries.undo, "redo": entries.redo}[verb](at, session_id, where, now, shown)
            if seen:
                assert in_order(seen[0]) == in_order(sessions.load(at, session_id))
    with open_archive(archive.path) as anew:
        assert not seen or in_order(seen[0]) == in_order(sessions.load(anew, session_id))


@pytest.mark.long
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(script=st.lists(drafts(), max_size=30), cut=st.integers(0, 30))
def test_the_fold_of_the_log_is_the_fold_of_its_beginning_and_each_step_after(
    archive, sheet_digest, now, summarise, script, cut
):
    session_id = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    viewings = [
        sessions.start_viewing(archive, session_id, str(number), "full", (), now, summarise)
        for number in range(2)
    ]
    for viewing, said in script:
        where = None if viewing is None else viewings[viewing].id
        entries.say(archive, session_id, [Draft(*each, where) for each in said], now, summarise)
    log = [said.entry for said in entries.history(archive, session_id)]
    head = sessions.load(archive, session_id)
    empty = folded(head, viewings, ()).session
    fold: Fold = folded(empty, viewings, log[:cut])
    for entry in log[cut:]:
        fold = further(fold, {subject_of(entry): entry})
    assert in_order(fold.session) == in_order(folded(empty, viewings, log).session) == in_order(head)


def test_what_undo_brings_back_goes_to_its_old_place(archive, session_id, viewing_id, load, now, summarise):
    """Two faults said, a third one, then both again in one key press, which is taken back."""
    for names in (("band",), ("dots",), ("scratch",), ("band", "dots")):
        said = [Draft("fault", f"skin/{name}", {"where": ""}, viewing_id) for name in names]
        entries.say(archive, session_id, said, now, summarise)
    seen = []
    entries.undo(archive, session_id, viewing_id, now, lambda s: seen.append(s) or summarise(s))
    assert [fault.name for fault in seen[0].viewing.faults] == ["band", "dots", "scratch"]
    assert in_order(seen[0]) == in_order(load())


def test_a_change_that_was_given_up_is_forgotten(archive, session_id, load, now, summarise):
    entries.say(archive, session_id, [Draft("remark", "skin", "kept")], now, summarise)
    with pytest.raises(RuntimeError), archive.transaction():
        entries.say(archive, session_id, [Draft("remark", "shadow", "lost")], now, summarise)
        raise RuntimeError("the rest of the change failed")
    seen = []
    entries.say(
        archive, session_id, [Draft("remark", "sky", "kept")], now, lambda s: seen.append(s) or summarise(s)
    )
    assert seen[0].remarks == load().remarks == {"skin": "kept", "sky": "kept"}
