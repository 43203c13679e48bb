"""Profiling data that other sessions keep, and the machine they belong to. Standard library only."""

from dataclasses import dataclass
from typing import Final

from evaluation.plain_text import listed

OF_THE_MACHINE: Final = ("printer", "inks", "paper", "media_setting", "quality", "direction")


@dataclass(frozen=True, slots=True)
class Offered:
    """Profiling data of another session under the same printing condition.

    file, readings, conditions   of the largest file; `others` are as many more
    """

    session: int
    file: str
    readings: int
    conditions: tuple[str, ...]
    others: int
    runs: tuple[int, ...]

    @property
    def about(self) -> str:
        """One line that gives no value away."""
        more = f" and {self.others} more" if self.others else ""
        named = listed(self.conditions)
        return f"{self.file}{more}, {self.readings:,} readings, {named}, kept with session {self.session}"
