"""An observer's calibration: what was found, and the lines of settings that use it."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from evaluation.work.calibrate import ObserverLean


def words(found: ObserverLean, path: Path) -> tuple[str, str]:
    """What the sessions show, and what to do with the lines below."""
    return (
        f"The eye of {found.observer} lies {found.lean:+.2f} ± {found.error:.2f} grades off the readings, "
        f"in {found.regions} regions of {len(found.sessions)} prints{_spread(found)}.",
        f"To use it, add these lines to {path}; it enters verdicts alone, no grade.",
    )


def _spread(found: ObserverLean) -> str:
    return "" if found.spread is None else f", which spread by {found.spread:.1f} grades within a print"


def report(found: ObserverLean, name: str, made: date, path: Path) -> Sequence[str]:
    """A page of it."""
    return [*words(found, path), "", *found.toml(name, made).splitlines()]
