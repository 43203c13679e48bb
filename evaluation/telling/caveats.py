"""Caveats of results that are made where an archive is at hand, a sentence each.

Those that follow from a session alone are part of its weighing (`judgement/caveats.py`).
"""

from collections.abc import Sequence


def yellower(db: float, light: str, condition: str) -> str:
    """A whitened paper, a profile that counts on its glow, a light without ultraviolet; db in b*."""
    return (
        f"Expect the whole print yellower by about {db:.1f} b* under {light}: the profile was made from "
        f"{condition} and counts on the glow of the paper's whitener, which that light lacks."
    )


def sheets_unknown(sessions: Sequence[int], taken: str, copies: int = 0) -> str:
    """The spread from sheet to sheet of these sessions (none: of all) is not known, so one is `taken`."""
    where = f" of {', '.join(map(str, sessions))}" if sessions else ""
    more = f" {copies} copies of a print, compared with the others, make it known." if copies else ""
    return f"Spread from sheet to sheet{where} not known: {taken}.{more}"


def black_not_used(session: int, why: str) -> str:
    return f"The black of session {session} is not used: {why}"
