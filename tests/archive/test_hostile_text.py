"""Text from files and people is kept as text, whatever it looks like."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evaluation.archive import documents, entries, habits, runs, session_list, sessions
from evaluation.entry import Draft
from evaluation.session import Summary

HOSTILE = [
    "[/a]",
    "[/",
    "[bold red]x[/]",
    "\x1b[31mred\x1b]0;title\x07",
    "<script>alert(1)</script>&amp;",
    "'; DROP TABLE entry; --",
    "a\0b",
    "\r\n\t\x7f\x9b",
    "\u202egnp.txt",
    "$(reboot) `x` %s {0} ${y}",
    "🖨️ Ærø 紙 ורוד",
    "x" * 20_000,
]


@pytest.mark.parametrize("text", HOSTILE, ids=[ascii(text[:12]) for text in HOSTILE])
def test_hostile_text_comes_back_from_every_field(archive, session_id, now, text, a_run):
    def shown(session):
        return Summary(printer=text, paper=session.condition.paper, printed=text)

    entries.say(archive, session_id, [Draft("condition", "paper", text)], now, shown)
    entries.say(archive, session_id, [Draft("remark", text, text)], now, shown)
    sessions.start_viewing(archive, session_id, text, "full", (text,), now, shown)
    habits.remember(archive, text, {text: text})
    run = replace(a_run, part=text, source_name=text, reader=text, remarks=(text,), device_space=text)
    run = replace(run, stated=replace(run.stated, instrument=text, illuminant=text))
    (number,) = runs.keep(archive, session_id, [run], now, source=(text, b""))

    session = sessions.load(archive, session_id)
    assert (session.condition.paper, session.remarks) == (text, {text: text})
    assert (session.viewings[0].observer, session.viewings[0].region_order) == (text, (text,))
    (head,) = session_list.heads(archive, match=text[:50].partition("\0")[0])
    assert (head.summary.paper, head.summary.printer, head.summary.printed) == (text, text, text)
    assert habits.recall(archive, text) == {text: text}
    back = runs.load(archive, number)
    assert (back.part, back.source_name, back.reader, back.remarks) == (text, text, text, (text,))
    assert (back.stated, back.device_space) == (run.stated, text)
    assert documents.fetch(archive, back.source_digest) == (text, b"")


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(max_size=30), subject=st.text(st.characters(exclude_categories=["Cs"]), max_size=10))
def test_any_text_comes_back_in_a_remark(archive, session_id, now, summarise, text, subject):
    """Halves of surrogate pairs included: JSON carries them."""
    (entry,) = entries.say(archive, session_id, [Draft("remark", subject, text)], now, summarise)
    assert (entry.subject, entry.value) == (subject, text)
    assert sessions.load(archive, session_id).remarks[subject] == text


def test_a_file_name_no_encoding_could_read_is_kept_readable(archive, session_id, now, a_run):
    broken = b"strip\xff.txt".decode("utf-8", "surrogateescape")
    run = replace(a_run, source_name=broken)
    (number,) = runs.keep(archive, session_id, [run], now, source=(broken, b""))
    assert runs.load(archive, number).source_name == "strip\ufffd.txt"
    shown = lambda session: Summary(paper=broken)  # noqa: E731
    sessions.start_viewing(archive, session_id, broken, "full", (), now, shown)
    assert session_list.heads(archive)[0].summary.paper == "strip\ufffd.txt"
