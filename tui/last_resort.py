"""The last resort: an unexpected fault becomes one sentence, and its details go into a log that is named.

Mistakes of files and of people never come here; they are told where they are met.
"""

import contextlib
import logging
import os
import sys
import tempfile
import threading
import time
import traceback
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from evaluation.errors import DrydownError

NAME: Final = "drydown.log"
UNFINISHED: Final = "What was asked was not finished; what was saved before stays."
STOPPED: Final = "drydown stopped on an unexpected fault; what was saved before stays."
_LARGEST: Final = 1 << 20  # bytes; a log that has grown beyond is begun anew


def unforeseen(problem: BaseException, doing: Sequence[str] = (), what: str = STOPPED) -> DrydownError:
    """The sentence for an unexpected exception; its details, and what was asked, go into the log."""
    if isinstance(problem, MemoryError):
        remedy = "Close other programs and try again."
        return DrydownError(UNFINISHED, found="too little memory", remedy=remedy)
    if (log := kept("".join(traceback.format_exception(problem)), doing)) is not None:
        details = f"The details are in {log}; send them to the maintainers."
    else:
        name = type(problem).__name__
        details = f"No log could be written; tell the people who make drydown that it was a {name}."
    return DrydownError(what, remedy=details)


def kept(details: str, doing: Sequence[str] = ()) -> Path | None:
    """Add to the log, with the time and what was asked. Returns the log; None where none can be written."""
    head = f"\n{time.strftime('%Y-%m-%d %H:%M:%S %z')} {_versions()}\n"
    text = f"{head}drydown {' '.join(map(repr, doing))}\n{details.rstrip()}\n"
    for path in (_usual, _in_its_place):
        with contextlib.suppress(Exception):  # nothing may go wrong in the last resort
            log = path()
            larger = log.exists() and log.stat().st_size > _LARGEST
            how = os.O_WRONLY | os.O_CREAT | (os.O_TRUNC if larger else os.O_APPEND)
            with os.fdopen(os.open(log, how, 0o600), "wb") as file:
                file.write(text.encode("utf-8", "backslashreplace"))
            return log
    return None


def quieten() -> None:
    """What libraries would write past us, onto the terminal, goes into the log: for a process of our own."""
    os.environ.setdefault("VIPS_WARNING", "0")  # set at all: libvips keeps its warnings to itself
    if not sys.warnoptions:
        warnings.showwarning = _warned
    logging.lastResort = _Log(logging.WARNING)
    threading.excepthook = lambda met: _dropped(met.exc_value)
    sys.unraisablehook = lambda met: _dropped(met.exc_value)


class _Log(logging.Handler):
    def emit(self, record: logging.LogRecord) -> None:
        kept(self.format(record))


def _warned(message: Warning | str, category: type[Warning], filename: str, lineno: int, *_: Any) -> None:
    kept(warnings.formatwarning(message, category, filename, lineno))


def _dropped(problem: BaseException | None) -> None:
    if problem is not None:
        kept("".join(traceback.format_exception(problem)))


def _usual() -> Path:
    from platformdirs import user_log_path  # only where something is to be told

    return Path(user_log_path("drydown", appauthor=False, ensure_exists=True)) / NAME


def _in_its_place() -> Path:
    descriptor, name = tempfile.mkstemp(prefix="drydown-", suffix=".log")
    os.close(descriptor)
    return Path(name)


def _versions() -> str:
    from importlib.metadata import PackageNotFoundError, version  # only where something is to be told

    try:
        own = version("drydown")
    except PackageNotFoundError:
        own = "not installed"
    return f"drydown {own}, Python {sys.version.split()[0]}, {sys.platform}"
