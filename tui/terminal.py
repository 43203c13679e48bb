"""Whether there is a terminal to draw on; keys that are pressed before the app stands."""

import contextlib
import sys
from collections.abc import Iterator, Mapping

from evaluation.errors import UsageProblem


def refuse_dumb(environ: Mapping[str, str], *, terminal: bool) -> None:
    """Raise UsageProblem where there is no terminal to draw on."""
    remedy = "Every job has a command as well: `drydown --help` lists them."
    if not terminal:
        raise UsageProblem(
            "drydown without a command opens a screen, and this is no terminal.", remedy=remedy
        )
    if environ.get("TERM", "") in ("dumb", "unknown"):
        raise UsageProblem(
            f"drydown alone opens a screen, and this terminal (TERM={environ['TERM']}) has none.",
            remedy=remedy,
        )


@contextlib.contextmanager
def keys_kept() -> Iterator[None]:
    """While the app is being loaded, let the terminal keep keys as they are pressed.

    Left to itself it would make a new line of Enter, take Ctrl+Q for its own and write all of them on the
    screen. Afterwards it is as it was.
    """
    try:
        import termios  # not on every system

        before = termios.tcgetattr(sys.stdin)
    except (ImportError, OSError, ValueError, termios.error):
        yield
        return
    now = list(before)
    now[0] &= ~(termios.ICRNL | termios.IXON)
    now[3] &= ~(termios.ICANON | termios.ECHO)
    try:
        termios.tcsetattr(sys.stdin, termios.TCSANOW, now)
        yield
    finally:
        with contextlib.suppress(termios.error):  # the terminal may be gone
            termios.tcsetattr(sys.stdin, termios.TCSADRAIN, before)
