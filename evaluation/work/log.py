"""Saying and unsaying: the one way into the log, and the one undo for every screen and command."""

from collections.abc import Sequence
from dataclasses import dataclass

from evaluation import progress
from evaluation.archive import entries, sessions
from evaluation.archive.entries import Belongs
from evaluation.archive.recognise import VERSION, is_bundle
from evaluation.entry import Draft, Entry
from evaluation.errors import UsageProblem
from evaluation.session import Session, Summary
from evaluation.telling.entries import told
from evaluation.work.bench import Bench, sheet_of


@dataclass(frozen=True, slots=True)
class Entered:
    """What a key press did: the session after it, the entries it touched and the same in words."""

    session: Session
    entries: tuple[Entry, ...]
    words: str


def say(bench: Bench, session_id: int, drafts: Sequence[Draft]) -> Entered:
    """Commit one key press worth of drafts; when this returns they are on disk."""
    after = _After(bench)
    made = entries.say(bench.archive, session_id, drafts, bench.now(), after)
    return after.step(session_id, made)


def undo(bench: Bench, session_id: int, belongs: Belongs = entries.any_action) -> Entered | None:
    """Take back the newest entry of the session or its newest viewing; None when nothing is left.

    Of what does not belong nothing is touched.
    """
    after = _After(bench)
    viewing = sessions.newest_viewing(bench.archive, session_id)
    taken = entries.undo(bench.archive, session_id, viewing, bench.now(), after, belongs)
    return after.step(session_id, taken) if taken else None


def redo(bench: Bench, session_id: int, belongs: Belongs = entries.any_action) -> Entered | None:
    """Redo the last entry undone; None when nothing is left, or something else was entered since."""
    after = _After(bench)
    viewing = sessions.newest_viewing(bench.archive, session_id)
    again = entries.redo(bench.archive, session_id, viewing, bench.now(), after, belongs)
    return after.step(session_id, again) if again else None


def session(bench: Bench, reference: str | int) -> Session:
    """The session of that number (or unique id), as it stands. Raises UsageProblem when there is none."""
    return sessions.load(bench.archive, sessions.find(bench.archive, str(reference)))


def conditions(bench: Bench, session: Session) -> tuple[str, ...]:
    """The measurement conditions of the readings that are in: facts, which may always be shown."""
    return sessions.conditions(bench.archive, session)


def remark(bench: Bench, session_id: int, subject: str, text: str, *, viewing: int | None = None) -> Entered:
    """Keep a remark on a region of the viewing, or on a step outside Look; empty text withdraws it."""
    return say(bench, session_id, [Draft("remark", subject, text.strip() or None, viewing)])


def refuse_read_only(bench: Bench) -> None:
    """Raise before work that would have to be kept in an archive that can only be looked at."""
    if bench.archive.read_only:
        bundle = is_bundle(bench.archive.connection, VERSION)
        raise UsageProblem(
            f"This {'bundle' if bundle else 'archive'} can only be looked at.",
            where=str(bench.archive.path),
            remedy="Merge it into an archive of your own: `drydown merge`, or g m in the app."
            if bundle
            else "Copy it to a place you can write to, or name another with --archive.",
        )


def summarise(bench: Bench) -> sessions.Summarise:
    """How the archive works out what Home shows of a session, from its own sheet."""
    return lambda session: progress.summary(session, sheet_of(bench, session), bench.clocks)


class _After:
    """Summarises, and keeps the session that the archive folded for it, so that nothing is read twice."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._summarise = summarise(bench)
        self._session: Session | None = None

    def __call__(self, session: Session) -> Summary:
        self._session = session
        return self._summarise(session)

    def step(self, session_id: int, made: tuple[Entry, ...]) -> Entered:
        """The step that these entries were, worked out from the session after it."""
        after = self._session or sessions.load(self._bench.archive, session_id)
        return Entered(after, made, told(made, sheet_of(self._bench, after)))
