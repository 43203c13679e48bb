"""One bundle on its way into an archive: what is new in it, under numbers of its new place."""

import contextlib
import sqlite3
from datetime import datetime
from typing import Final

from evaluation.archive import rows, runs, sessions
from evaluation.archive.bundles import bring, families, records
from evaluation.archive.bundles.bring import Bringing, Subject
from evaluation.archive.bundles.nouns import Came, Merged
from evaluation.archive.bundles.opened import Bundle, problem
from evaluation.archive.bundles.records import Head, Holdings, Name, Record
from evaluation.archive.connection import Archive
from evaluation.archive.sessions import Summarise
from evaluation.archive.upkeep import Progress
from evaluation.fold import refuse_nonsense

_FIXED: Final = ("answer", "fault", "reveal", "readings")  # with any of these a session keeps its sheet


class Taking:
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
        families.keep(self._into, self._new)

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
        observers = families.observers(self._into, self._bringing, new)
        known_looks = (one for one in self._known.of("viewing") if one.session == uid)
        before = families.observers(self._into, self._bringing, known_looks)
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
        """Fold the session again, and look at all of it as `check` would: it may come from anybody."""
        found = self._into.execute(f"SELECT {rows.ENTRY} FROM entry WHERE session = ?", (number,)).fetchall()
        refuse_nonsense(rows.entries(found))
        for (run,) in self._into.execute("SELECT id FROM readings WHERE session = ?", (number,)).fetchall():
            if not runs.is_possible(runs.load(self._archive, run)):
                raise ValueError("readings that no reader takes in")
        sessions.refresh(self._archive, number, now, summarise)
