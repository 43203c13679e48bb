"""Commands one after the other, as somebody gives them in another window: `commands_run.py ARCHIVE FOLDER`.

Each is told once it is done, with what it made: "new 12", "backup FOLDER/12.db".
"""

import contextlib
import io
import random
import sys

from tui.cli import main

archive, folder = sys.argv[1:]
dice = random.Random()


def run(*words: str) -> str:
    """What a command printed. Anything but success ends the program."""
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        code = main([*words, "--archive", archive])
    if code:
        sys.exit(f"{words} ended with {code}: {printed.getvalue()}")
    return printed.getvalue()


print("ready", flush=True)
while True:
    match dice.choice(("list", "list", "check", "new", "new", "backup")):
        case "new":
            print("new", run("new", "--like", "1").split()[0], flush=True)
        case "backup":
            copy = f"{folder}/{dice.randrange(10**12)}.db"
            run("backup", copy)
            print("backup", copy, flush=True)
        case command:
            run(command)
            print(command, flush=True)
