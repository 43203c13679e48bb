"""The days to come as a calendar that other programs read: iCalendar, RFC 5545. Standard library only."""

import hashlib
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Final

from evaluation.planning.plan import Job, Plan
from evaluation.telling import plan as words
from evaluation.telling import plan_rows

_LONGEST: Final = 75  # octets of a line, RFC 5545, 3.1


def calendar(plan: Plan, now: datetime, days: int = 7) -> str:
    """The steps of the next days (tentative), what is dry when, and the day the printer goes back."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//drydown//plan//EN"]
    stamp = _utc(now)
    for act in plan_rows.coming(plan, days):
        job = plan.of_chain[act.chain]
        what = words.step_of(act.step, job.paper.name, [job.setting])
        times = (f"DTSTART:{_utc(plan.clock(act.start))}", f"DTEND:{_utc(plan.clock(act.end))}")
        lines += _event(_name(plan, job, act.step), stamp, what, times, "TENTATIVE")
    for job in plan.jobs:
        if job.state == "dries" and job.from_ is not None and job.step is not None:
            at = _utc(job.from_)
            what = words.dry(job.paper.name, job.setting)
            lines += _event(_name(plan, job, f"dry {job.step}"), stamp, what, (f"DTSTART:{at}",), "CONFIRMED")
    if plan.loan.about.last is not None:
        last = plan.loan.about.last
        days_of = (f"DTSTART;VALUE=DATE:{_day(last)}", f"DTEND;VALUE=DATE:{_day(last + timedelta(days=1))}")
        what = words.goes_back(plan.loan.about.printer)
        lines += _event(f"{plan.loan.uid}-back", stamp, what, days_of, "CONFIRMED")
    lines.append("END:VCALENDAR")
    return "".join(f"{each}\r\n" for line in lines for each in _folded(line))


def _name(plan: Plan, job: Job, what: str) -> str:
    """The same step has the same name in every calendar, so that a newer one replaces it."""
    names = "\0".join((plan.loan.uid, job.paper.name, job.setting, what))
    return hashlib.sha256(names.encode("utf-8", "replace")).hexdigest()[:32]


def _event(name: str, stamp: str, what: str, times: Iterable[str], status: str) -> list[str]:
    return [
        "BEGIN:VEVENT",
        f"UID:{name}@drydown",
        f"DTSTAMP:{stamp}",
        *times,
        f"SUMMARY:{_text(what)}",
        f"STATUS:{status}",
        "END:VEVENT",
    ]


def _utc(at: datetime) -> str:
    """A moment; without a zone it is of the local wall clock."""
    return f"{at.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def _day(at: date) -> str:
    return f"{at:%Y%m%d}"


def _text(value: str) -> str:
    """A text as the standard escapes it, 3.3.11."""
    for plain, escaped in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        value = value.replace(plain, escaped)
    return "".join(char for char in value if char.isprintable())


def _folded(line: str) -> Iterator[str]:
    """A long line in pieces of whole characters; all but the first begin with a space."""
    piece = ""
    for char in line:
        if len((piece + char).encode()) > _LONGEST:
            yield piece
            piece = " "
        piece += char
    yield piece
