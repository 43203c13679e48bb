"""Times and sizes as a person types them: 1310, yesterday 1310, 24 Nov 1310; 13x19in, 33 x 48 cm."""

import re
from datetime import datetime, timedelta
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted
from evaluation.sheet.sizes import NAMED

NOT_SAVED: Final = "Nothing was saved."


def moment_typed(text: str, now: datetime) -> datetime:
    """A moment as people type it, in local time: 1310, 13:10, yesterday 1310, 24 Nov 13:10, 2026-11-24 13:10.

    A bare time that would lie ahead is yesterday's. Raises UsageProblem.
    """
    local = now.astimezone()
    words = text.strip().casefold()
    if words in ("now", "just now"):
        return now
    day, hours, minutes = _day_and_time(words, local)
    if day is None or not (0 <= hours < 24 and 0 <= minutes < 60):
        raise UsageProblem(
            NOT_SAVED,
            expected="a time such as 1310 or 24 Nov 13:10",
            found=quoted(text),
        )
    found = day.replace(hour=hours, minute=minutes).astimezone()  # the local zone, as it was that day
    if found > local and re.fullmatch(r"\d{1,2}[:.]?\d{2}", words):
        found -= timedelta(days=1)
    if found > local + timedelta(minutes=1):
        raise UsageProblem(f"{NOT_SAVED} The print cannot have been made later than now.", found=quoted(text))
    return found


def size_mm(text: str) -> tuple[float, float]:
    """Width and height in mm of a sheet as typed: A3, 13x19in, 33 x 48 cm, 330x483. Raises UsageProblem.

    >>> size_mm("a3"), size_mm("8,5 x 11 in")
    ((297.0, 420.0), (215.9, 279.4))
    """
    for name, (wide, high) in NAMED.items():
        if text.strip().casefold() == name.casefold():
            return round(wide, 1), round(high, 1)
    found = re.fullmatch(r"([\d.,]+)\s*[x×*by ]+\s*([\d.,]+)\s*(mm|cm|in|inch|\")?", text.strip().casefold())
    if found:
        try:
            scale = {"cm": 10.0, "in": 25.4, "inch": 25.4, '"': 25.4}.get(found[3] or "mm", 1.0)
            width, height = (round(float(part.replace(",", ".")) * scale, 1) for part in (found[1], found[2]))
        except ValueError:
            width = height = 0.0
        if 10 <= width <= 5000 and 10 <= height <= 50000:
            return width, height
    raise UsageProblem(NOT_SAVED, expected="a size such as A3, 13x19in or 330x483 mm", found=quoted(text))


def _day_and_time(words: str, local: datetime) -> tuple[datetime | None, int, int]:
    """A day at midnight without a zone, hours and minutes; a day of None means it is no moment."""
    words = re.sub(r"(\d)t(\d)", r"\1 \2", words)  # ISO 8601 joins day and time by a T
    found = re.fullmatch(r"(?:(.*\S)\s*,?\s+(?:at\s+)?)?(\d{1,2})[:.]?(\d{2})", words)
    if not found:
        return None, 0, 0
    return _day(found[1] or "today", local), int(found[2]), int(found[3])


def _day(words: str, local: datetime) -> datetime | None:
    today = datetime(local.year, local.month, local.day)
    words = words.rstrip(",")
    if words in ("today", "yesterday"):
        return today - timedelta(days=words == "yesterday")
    for form in ("%Y-%m-%d", "%d %b %Y", "%d %B %Y", "%d.%m.%Y", "%d/%m/%Y"):
        try:
            return datetime.strptime(words, form)
        except ValueError:
            continue
    for form in ("%d %b %Y", "%d %B %Y", "%d.%m. %Y"):
        try:
            found = datetime.strptime(f"{words} {today.year}", form)
        except ValueError:
            continue
        return found if found <= today else found.replace(year=today.year - 1)
    return None
