"""The app at work, without its screen: `app_run.py ARCHIVE SESSION VIEWING`.

Answers are said on one connection as fast as they can be, each told once it is saved; workers come and go
beside it, each with a connection of its own, to look at a page and to keep something.
"""

import sys
import threading
from datetime import UTC, datetime

from evaluation.archive import entries, habits, session_list, sessions
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.session import Count, Summary

path, session, viewing = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])


def workers() -> None:
    while True:
        with open_archive(path) as own:
            session_list.heads(own)
            sessions.load(own, session)
            habits.remember(own, "folder of readings", str(session))


with open_archive(path) as archive:
    threading.Thread(target=workers, daemon=True).start()
    print("ready", flush=True)
    for number in range(1_000_000):
        draft = Draft("answer", f"neutral/{number}", encoded(Count(number)), viewing)
        entries.say(archive, session, [draft], datetime.now(UTC), lambda session: Summary())
        print(number, flush=True)
