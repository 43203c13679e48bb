"""A program that grades as fast as it can: `grading_run.py ARCHIVE SESSION VIEWING NAME COUNT`.

It prints the number of each answer once `say` has returned, as a screen would show it as saved.
"""

import sys
from datetime import UTC, datetime

from evaluation.archive import entries
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft, encoded
from evaluation.session import Count, Summary

path, session, viewing, name, count = sys.argv[1:]
with open_archive(path) as archive:
    print("ready", flush=True)
    for number in range(int(count)):
        draft = Draft("answer", f"{name}/{number}", encoded(Count(number)), int(viewing))
        entries.say(archive, int(session), [draft], datetime.now(UTC), lambda session: Summary())
        print(number, flush=True)
