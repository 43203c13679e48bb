"""How old a print was when it was read or looked at, as far as the stated times can both be right."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time
from typing import Final

from evaluation.readings.run import Taken

_DAY: Final = 24.0


@dataclass(frozen=True, slots=True)
class Age:
    """Hours from printing to a moment, at least and at most: apart where the file states the day alone."""

    least: float
    most: float

    @property
    def hours(self) -> float | None:
        """The age, where the moment is known to the minute."""
        return self.least if self.least == self.most else None


def age(printed: datetime, at: datetime) -> Age | None:
    """The age at a moment; None where it lies before printing, so that one of the two times is wrong.

    A time of midnight to the second is taken for a day without a time.
    """
    hours = (at - printed).total_seconds() / 3600
    most = hours + _DAY if day_alone(at) else hours
    return None if most < 0 else Age(max(hours, 0.0), most)


def impossible(printed: datetime | None, moments: Iterable[datetime]) -> tuple[datetime, ...]:
    """Those of the moments that lie before printing."""
    return () if printed is None else tuple(at for at in moments if age(printed, at) is None)


def read_at(takens: Iterable[Taken]) -> tuple[datetime, ...]:
    """The dated runs of the print itself; pages printed unmanaged are other sheets, most of them older."""
    return tuple(
        taken.run.stated.measured_at
        for taken in takens
        if taken.run.printed_as != "unmanaged" and taken.run.stated.measured_at is not None
    )


def day_alone(at: datetime) -> bool:
    """Whether only the day of a moment is known."""
    return at.time() == time()
