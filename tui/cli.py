"""The command line: the one place where a problem becomes a sentence and an exit code."""

import contextlib
import gc
import importlib
import os
import sys
from collections.abc import Sequence

from evaluation.errors import DrydownError
from evaluation.system_words import unwritten
from tui import last_resort, signs
from tui.options import parser
from tui.out import Out


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command, or the app when none is named. Returns the exit code: 0, 1 failed, 2 bad use."""
    # Before numpy comes: arrays here are small, and threads that wait for work take a fifth of the time.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if argv is None:  # a process of our own, not a call from Python
        last_resort.quieten()
        gc.set_threshold(50_000, 20, 50)  # looking for garbage every 700 objects took a seventh of the start
    signs.fit_outputs()
    words = sys.argv[1:] if argv is None else list(argv)
    out = Out(as_json="--json" in words)
    try:
        code = _code(words, out)
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        out.aside("Stopped. Nothing was left half done.")
        return 130
    except BrokenPipeError:  # the reader of our pipe, `head` for one, has seen enough
        _let_go_of_output()
        return 0
    except OSError as problem:
        _let_go_of_output()
        out.aside(_refused(problem).sentence)
        return 1


def _code(words: Sequence[str], out: Out) -> int:
    """Run the command; what goes wrong is told in one sentence. Lets through what the outputs refuse."""
    try:
        args = parser().parse_args(words)
        command = importlib.import_module(f"tui.commands.{(args.command or 'app').replace('-', '_')}")
        return int(command.run(args, out))
    except OSError:
        raise
    except Exception as met:
        problem = met if isinstance(met, DrydownError) else last_resort.unforeseen(met, words)
        out.problem(problem)
        return problem.exit_code


def _refused(problem: OSError) -> DrydownError:
    found, remedy = unwritten(problem)
    where = str(problem.filename or "The output")
    return DrydownError(last_resort.UNFINISHED, where=where, found=found, remedy=remedy)


def _let_go_of_output() -> None:
    """Point standard output at nothing, or Python complains once more when it leaves."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
