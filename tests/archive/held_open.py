"""The app's shape without a screen: `held_open.py ARCHIVE` holds it by two connections, one in a thread.

Each line of its input is kept as a habit and told back once it is on disk.
"""

import sys
import threading

from evaluation.archive import habits
from evaluation.archive.connection import open_archive

path = sys.argv[1]
opened, left = threading.Event(), threading.Event()


def of_a_worker() -> None:
    with open_archive(path) as own:
        habits.recall(own, "nothing")
        opened.set()
        left.wait()


with open_archive(path) as archive:
    threading.Thread(target=of_a_worker, daemon=True).start()
    opened.wait()
    print("open", flush=True)
    for line in sys.stdin:
        habits.remember(archive, line.strip(), True)
        print(line.strip(), flush=True)
    left.set()
