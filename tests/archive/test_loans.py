"""Loans in the archive: nothing is rewritten, undo is an entry, every entry has its name."""

import sqlite3
from datetime import UTC, datetime, timedelta

import pytest

from evaluation.archive import health, loans
from evaluation.errors import ArchiveProblem, UsageProblem
from evaluation.loan import LoanDraft, place

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
RAG = LoanDraft("paper", "Rag", {"settings": ["fine"], "made_for": "general", "maker_profile": False})


def lost(day):
    return LoanDraft("lost", day, True)


def test_entries_are_added_undone_and_redone_and_stay_for_ever(archive):
    assert loans.load(archive) is None and loans.every(archive) == ()
    uid = loans.begin(archive, [LoanDraft("about", "printer", "Merrowby"), RAG], NOON).uid
    days = ("2026-03-03", "2026-03-04")
    for day in days:
        loans.say(archive, uid, [lost(day)], NOON)

    def marked():
        return sorted(day.isoformat() for day in loans.load(archive).lost)

    assert [entry.subject for entry in loans.offered(archive, uid, "undo")] == [days[1]]
    assert loans.offered(archive, uid, "redo") == ()
    assert [entry.subject for entry in loans.turn(archive, uid, "undo", NOON)] == [days[1]]
    assert [entry.subject for entry in loans.offered(archive, uid, "redo")] == [days[1]]
    assert marked() == [days[0]]
    loans.turn(archive, uid, "undo", NOON)
    assert marked() == []
    assert loans.turn(archive, uid, "undo", NOON) == ()  # the loan itself stays
    assert loans.load(archive).papers[0].name == "Rag"
    assert [entry.subject for entry in loans.turn(archive, uid, "redo", NOON)] == [days[0]]
    loans.turn(archive, uid, "redo", NOON)
    assert marked() == list(days) and loans.turn(archive, uid, "redo", NOON) == ()
    loans.turn(archive, uid, "undo", NOON)
    loans.say(archive, uid, [lost("2026-03-09")], NOON)
    assert loans.turn(archive, uid, "redo", NOON) == ()  # something was entered since
    assert marked() == [days[0], "2026-03-09"]
    assert health.check(archive).sound
    born = archive.rows("SELECT count(*), count(DISTINCT sequence) FROM birth WHERE what = 'loan_entry'")
    assert born == archive.rows("SELECT count(*), count(*) FROM loan_entry")
    for statement in ("DELETE FROM loan_entry", "UPDATE loan_entry SET value = 'null'"):
        with pytest.raises(sqlite3.IntegrityError, match="never"):
            archive.connection.execute(statement)


def test_a_loan_is_the_fold_of_all_kinds_of_entries(archive):
    key = place("Rag", "fine")
    first = [
        LoanDraft("about", "printer", "Merrowby"),
        LoanDraft("about", "first", "2026-03-02"),
        LoanDraft("about", "opens", "08:30"),
        LoanDraft("about", "days", [0, 5]),
        RAG,
        LoanDraft("minutes", "look", 80),
    ]
    uid = loans.begin(archive, first, NOON).uid
    later = [
        LoanDraft("session", key, "ab" * 16),
        LoanDraft("done", place("Rag", "fine", "charts"), NOON.isoformat()),
        *(LoanDraft("took", "charts", minutes) for minutes in (18, 25, 21)),
        LoanDraft("timer", "running", {"step": "look", "since": NOON.isoformat()}),
        LoanDraft("left out", key, True),
        LoanDraft("question", "1", {"text": "Does it curl?", "who": "a reader", "paper": "Rag"}),
        LoanDraft("question", "2", {"text": "How loud is it?"}),
        LoanDraft("answer", "1", {"text": "By 3 mm.", "appendix": "rag.md"}),
    ]
    loan = loans.say(archive, uid, later, NOON + timedelta(hours=1))
    assert (loan.number, loan.about.printer, loan.about.opens.minute) == (1, "Merrowby", 30)
    assert (loan.about.days, loan.about.closes.hour, loan.about.full_list) == ((0, 5), 17, True)
    assert loan.minutes == {"look": 80.0} and loan.took == {"charts": (18.0, 25.0, 21.0)}
    assert loan.sessions == {("Rag", "fine"): "ab" * 16} and loan.done == {("Rag", "fine", "charts"): NOON}
    assert loan.timer == ("look", NOON) and loan.left_out == {("Rag", "fine")}
    one, two = loan.questions
    assert (one.answer, one.appendix, one.who, one.asked.hour) == ("By 3 mm.", "rag.md", "a reader", 13)
    assert (two.answered, two.paper) == (None, "")
    withdrawn = [LoanDraft("paper", "Rag", None), LoanDraft("timer", "running", None)]
    loan = loans.say(archive, uid, withdrawn, NOON)
    assert loan.papers == () and loan.timer is None


def test_loans_are_counted_as_they_were_begun_and_damage_is_named(archive):
    one = loans.begin(archive, [RAG], NOON)
    two = loans.begin(archive, [RAG], NOON - timedelta(days=1))  # the clock was set back
    assert [loan.uid for loan in loans.every(archive)] == [one.uid, two.uid]
    assert loans.load(archive).uid == two.uid and loans.load(archive, 1).uid == one.uid
    with pytest.raises(UsageProblem, match=r"from 1 to 2.*No loan goes by 3"):
        loans.load(archive, 3)
    with pytest.raises(ValueError, match="no field"):
        loans.say(archive, two.uid, [LoanDraft("about", "colour", "red")], NOON)
    assert loans.load(archive) == two
    archive.connection.execute(
        "INSERT INTO loan_entry (loan, kind, subject, value, at, action) "
        "VALUES (?, 'about', 'first', '7', '2026-03-02T12:00:00.000+00:00', 9)",
        (two.uid,),
    )
    with pytest.raises(ArchiveProblem):
        loans.load(archive)
    assert "A loan cannot be put together from its entries." in health.check(archive).troubles
