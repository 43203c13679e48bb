"""Bundles into an archive: all of them or nothing, in one transaction."""

import contextlib
import json
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Final

from evaluation.archive import entries, rows, runs, sessions
from evaluation.archive.bundles import bring, records, undoing
from evaluation.archive.bundles.bring import Bringing, Subject
from evaluation.archive.bundles.differences import differences
from evaluation.archive.bundles.nouns import Came, Choice, Merged
from evaluation.archive.bundles.opened import NOT_MERGED, Bundle, opened, problem
from evaluation.archive.bundles.records import Head, Holdings, Name, Record
from evaluation.archive.connection import Archive
from evaluation.archive.sessions import Summarise
from evaluation.archive.upkeep import Progress, untold, within
from evaluation.errors import DrydownError
from evaluation.fold import refuse_nonsense

_FIXED: Final = ("answer", "fault", "reveal", "readings")  # with any of these a session keeps its sheet


class _OnlyAsked(Exception):
    """Ends a dry run: what it wrote is given up."""


def merge(
    archive: Archive,
    files: Sequence[Path],
    now: datetime,
    summarise: Summarise,
    *,
    dry_run: bool = False,
    choices: Sequence[Choice] = (),
    progress: Progress = untold,
) -> Merged:
    """Take in what bundles hold and the archive does not; on disk when this returns. What is here stays.

    With `dry_run` nothing is kept. `choices` are made of what differs, as far as it still does, and are taken
    back together with the merge. A merge that brings anything keeps a copy of the archive as it was beside it
    (`undoing.undo`). `progress` is told of documents and sessions, and may raise to stop.

    Raises ArchiveProblem, with nothing taken, for a bundle that is refused (`opened.opened`) or does not
    agree with the archive.
    """
    merged = Merged((), 0, 0, 0, ())
    with contextlib.ExitStack() as stack:
        looking, taking = within(progress, 0, 50), within(progress, 50, 100)
        bundles = [
            stack.enter_context(opened(path, _of(looking, place, files))) for place, path in enumerate(files)
        ]
        with contextlib.suppress(_OnlyAsked), archive.transaction() as connection:
            found = [
                _one(archive, connection, bundle, now, summarise, _of(taking, place, files))
                for place, bundle in enumerate(bundles)
            ]
            merged = _together(archive, found)
            if dry_run or not merged.anything:
                raise _OnlyAsked
            if fitting := [choice for choice in choices if choice.fits(merged.differences)]:
                for choice in fitting:
                    entries.say(archive, choice.difference.session, [choice.draft], now, summarise)
                merged = _together(archive, found)
            progress(99, 100, "a copy of the archive as it is")
            kept = undoing.keep(archive, connection, [path.name for path in files], now)
            merged = replace(merged, kept=kept)
    if merged.kept:
        undoing.clear(archive)
    return merged


def _of(progress: Progress, place: int, files: Sequence[Path]) -> Progress:
    """The part of a bar that belongs to one of several files."""
    return within(progress, 100 * place // len(files), 100 * (place + 1) // len(files))


def _one(
    archive: Archive,
    connection: sqlite3.Connection,
    bundle: Bundle,
    now: datetime,
    summarise: Summarise,
    progress: Progress,
) -> Merged:
    try:
        return _Merge(archive, connection, bundle, progress).done(now, summarise)
    except (
        sqlite3.IntegrityError,
        ValueError,
        TypeError,
        LookupError,
        AttributeError,
        RecursionError,
    ) as error:
        raise problem(bundle.path, "rows that no session can hold") from error
    except DrydownError as error:
        if error.what == NOT_MERGED or not error.found:
            raise
        raise problem(bundle.path, error.found) from error


def _together(archive: Archive, found: Sequence[Merged]) -> Merged:
    numbers = {each.number for one in found for each in one.sessions}
    return Merged(
        tuple(each for one in found for each in one.sessions),
        sum(one.documents for one in found),
        sum(one.rounds for one in found),
        sum(one.judgements for one in found),
        differences(archive, numbers) if numbers else (),
    )


class _Merge:
    """One bundle on its way into an archive, in an open transaction."""

    def __init__(
        self, archive: Archive, connection: sqlite3.Connection, bundle: Bundle, progress: Progress
    ) -> None:
        self._archive = archive
        self._into = connection
        self._bundle = bundle
        self._progress = progress
        self._held = bundle.held
        self._bringing = Bringing(bundle.source, connection)
        self._known = self._here()
        self._new = [one for name, one in self._held.records.items() if name not in self._known.records]

    def done(self, now: datetime, summarise: Summarise) -> Merged:
        """Bring in all that is new."""
        self._refuse_disagreement()
        documents = self._documents()
        differs = {uid for uid, head in self._held.sessions.items() if self._session(head)}
        counted = self._counting()
        live = self._held.live() if not self._known.records else self._live_together()
        new = {record.name for record in self._new}
        for record in self._new:
            self._bringing.record(record, live)
        for entry, saw in sorted(self._held.sights):
            if entry in new:
                self._bringing.sight(entry, saw)
        self._origins()
        came = tuple(self._finished(uid, uid in differs) for uid in self._held.sessions)
        for subject, name in counted.items():
            bring.let_count(self._into, subject, name)
        for place, each in enumerate(came):
            self._progress(place, len(came), f"session {place + 1} of {len(came)}")
            if each.anything:
                self._refreshed(each.number, now, summarise)
        kinds = [record.what for record in self._new]
        return Merged(came, documents, kinds.count("round"), kinds.count("judgement"), ())

    def _here(self) -> Holdings:
        numbers = [
            number
            for uid in self._held.sessions
            for (number,) in self._into.execute("SELECT id FROM session WHERE uid = ?", (uid,))
        ]
        return records.read(self._into, numbers)

    def _refuse_disagreement(self) -> None:
        """What goes by one name says one thing: a copy that was kept and changed by hand does not."""
        for name, record in self._held.records.items():
            known = self._known.records.get(name)
            taken = known is None and self._is_taken(name)
            if taken or (known is not None and known.line != record.line):
                raise problem(
                    self._bundle.path,
                    f"other content under the name {name[:12]}",
                    expected="a bundle that agrees with the archive about what both know",
                    remedy="One of them was changed by other means; look at both with `drydown check`.",
                )
        for uid, head in self._held.sessions.items():
            known_head = self._known.sessions.get(uid)
            if known_head is not None and known_head.created != head.created:
                raise problem(self._bundle.path, f"another beginning of session {known_head.number}")

    def _is_taken(self, name: Name) -> bool:
        with contextlib.suppress(KeyError):
            return self._bringing.number_of(name) is not None
        return False

    def _documents(self) -> int:
        count = 0
        for (digest,) in self._bundle.source.execute("SELECT digest FROM document").fetchall():
            if self._into.execute("SELECT 1 FROM document WHERE digest = ?", (digest,)).fetchone() is None:
                row = self._bundle.source.execute(
                    "SELECT digest, kind, name, size, content FROM document WHERE digest = ?", (digest,)
                ).fetchone()
                self._into.execute("INSERT INTO document VALUES (?, ?, ?, ?, ?)", row)
                count += 1
        return count

    def _session(self, head: Head) -> bool:
        """Make the session where it is new; whether its sheet is another than the one that stays."""
        known = self._known.sessions.get(head.uid)
        if known is None:
            self._bringing.session(head)
            return False
        if known.sheet == head.sheet:
            return False
        if self._is_fixed(self._known, head.uid):
            if self._is_fixed(self._held, head.uid):
                raise problem(
                    self._bundle.path,
                    f"session {known.number} graded on another sheet",
                    expected="each session on one sheet",
                    remedy="Keep the two apart: grade one of them as a session of its own.",
                )
            return True
        if not self._is_fixed(self._held, head.uid):
            return True
        self._into.execute("UPDATE session SET sheet = ? WHERE uid = ?", (head.sheet, head.uid))
        return False

    def _is_fixed(self, held: Holdings, uid: str) -> bool:
        live = held.live()
        return any(
            one.session == uid and one.content[1] in _FIXED and one.name in live for one in held.of("entry")
        )

    def _counting(self) -> dict[Subject, Name]:
        """Of each subject on which something comes, the entry that counts now."""
        found: dict[Subject, Name] = {}
        for record in self._new:
            if record.what == "entry" and record.session in self._known.sessions:
                with contextlib.suppress(
                    KeyError
                ):  # of a viewing or run that comes with it: nothing counts yet
                    subject = self._subject(record)
                    live = [one for one in bring.told(self._into, subject) if one.live]
                    if live:
                        found[subject] = live[-1].name
        return found

    def _subject(self, record: Record) -> Subject:
        viewing, kind, subject, *_ = record.content
        name = str(self._bringing.number_of(subject)) if kind == "readings" else subject
        return self._known.sessions[record.session].number, self._bringing.number_of(viewing), kind, name

    def _live_together(self) -> frozenset[Name]:
        """What counts by the undos of both."""
        both = Holdings(self._held.sessions, {**self._known.records, **self._held.records}, frozenset())
        return both.live()

    def _origins(self) -> None:
        (own,) = self._into.execute("SELECT origin FROM origin").fetchone()
        origins = {record.name.partition("/")[0] for record in self._new} - {own}
        self._into.executemany("INSERT OR IGNORE INTO elsewhere VALUES (?)", [(one,) for one in origins])
        people = [record for record in self._new if record.what in ("viewing", "round")]
        self._into.executemany(
            "INSERT OR IGNORE INTO other_family (family) "
            "SELECT ?1 WHERE ?1 NOT IN ('', (SELECT family FROM origin))",
            [(family,) for family in dict.fromkeys(record.content[-1] for record in people)],
        )

    def _observers(self, found: Iterable[Record]) -> tuple[str, ...]:
        """Who made these viewings, each once, as they are called here."""
        numbers = json.dumps([self._bringing.number_of(one.name) for one in found if one.what == "viewing"])
        called = self._into.execute(
            f"SELECT {rows.observer_of('v')} FROM json_each(?) AS n JOIN viewing AS v ON v.id = n.value "
            "ORDER BY n.key",
            (numbers,),
        )
        return tuple(dict.fromkeys(name for (name,) in called))

    def _finished(self, uid: str, differs: bool) -> Came:
        head, known = self._held.sessions[uid], self._known.sessions.get(uid)
        number = self._bringing.session_of(uid)
        if number is None:
            raise LookupError(uid)
        bring.count_again(self._into, number)
        renumbered = bring.order_viewings(self._into, number) and known is not None
        back = known is not None and known.removed is not None and head.removed is None
        if back:
            self._into.execute("UPDATE session SET removed = NULL WHERE id = ?", (number,))
        new = [record for record in self._new if record.session == uid]
        count = [record.what for record in new].count
        observers = self._observers(new)
        before = self._observers(one for one in self._known.of("viewing") if one.session == uid)
        (paper,) = self._into.execute("SELECT paper FROM session WHERE id = ?", (number,)).fetchone()
        return Came(
            number,
            paper,
            known is None,
            count("viewing"),
            count("readings"),
            count("entry"),
            count("turn"),
            observers,
            back,
            tuple(name for name in observers if name in before),
            differs,
            renumbered,
        )

    def _refreshed(self, number: int, now: datetime, summarise: Summarise) -> None:
        """Work the session out anew, and look at all of it as `check` would: it may come from anybody."""
        found = self._into.execute(f"SELECT {rows.ENTRY} FROM entry WHERE session = ?", (number,)).fetchall()
        refuse_nonsense(rows.entries(found))
        for (run,) in self._into.execute("SELECT id FROM readings WHERE session = ?", (number,)).fetchall():
            table = runs.load(self._archive, run)
            if table.spectra is not None and not table.spectra.size:
                raise ValueError("spectra without a band")
        sessions.refresh(self._archive, number, now, summarise)
