"""Open hours: from a first to a last day, on some days of the week, without the days that were lost."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from evaluation.planning.steps import DAY


@dataclass(frozen=True, slots=True)
class Hours:
    """When there is anybody at the printer: (from, to) in minutes since midnight of `first`, in order."""

    first: date
    windows: tuple[tuple[float, float], ...]

    @property
    def end(self) -> float:
        """When the last of them closes; 0 where there are none."""
        return self.windows[-1][1] if self.windows else 0.0

    def minute(self, at: datetime) -> float:
        """A moment of the local wall clock in minutes."""
        return (at.replace(tzinfo=None) - datetime.combine(self.first, time())) / timedelta(minutes=1)

    def moment(self, minute: float) -> datetime:
        """The local wall clock at a minute, without a time zone, to the full minute."""
        return datetime.combine(self.first, time()) + timedelta(minutes=round(minute))

    def left(self, now: float) -> float:
        """Open minutes from now on."""
        return sum(max(0.0, to - max(since, now)) for since, to in self.windows)

    def after(self, now: float) -> tuple[tuple[float, float], ...]:
        """What is still open from now on; the window that is open now begins now."""
        return tuple((max(since, now), to) for since, to in self.windows if to > now)


def hours(
    first: date, last: date, opens: time, closes: time, days: Collection[int], lost: Collection[date] = ()
) -> Hours:
    """The open hours of a loan; `days` of the week are 0 (Monday) to 6."""
    windows = []
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        if day.weekday() in days and day not in lost:
            start = number * DAY
            windows.append((start + _minutes(opens), start + _minutes(closes)))
    return Hours(first, tuple(windows))


def _minutes(at: time) -> float:
    return at.hour * 60.0 + at.minute
