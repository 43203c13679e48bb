"""What a loan is entered with, as people type it: days, hours, papers with settings, minutes."""

import json
import re
from datetime import date, datetime, time
from typing import Any, Final, cast

from evaluation.errors import UsageProblem
from evaluation.loan import About, WantedPaper
from evaluation.plain_text import quoted
from evaluation.session import USES, Use

NOT_SAVED: Final = "Nothing was saved."
_WEEKDAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_MAKERS: Final = ("maker's profile", "maker’s profile", "maker profile")
_MOST_SETTINGS: Final = 9
LONGEST: Final = 400  # days of a loan; more of them is a year typed wrong


def about_typed(field: str, text: str, now: datetime) -> Any:
    """The value of a field of About. Raises UsageProblem."""
    text = text.strip()
    match field:
        case "first" | "last":
            return day_typed(text, now)
        case "opens" | "closes":
            return hour_typed(text)
        case "days":
            return days_typed(text)
        case "second_viewings" | "full_list":
            return yes_typed(text)
    return text


def day_typed(text: str, now: datetime) -> date:
    """A day: 2026-12-18, 18.12.2026, 18 Dec, today, tomorrow. Without a year it is the nearest to now."""
    words = " ".join(text.split()).rstrip(",").casefold()
    today = now.astimezone().date()
    if words in ("today", "tomorrow"):
        return date.fromordinal(today.toordinal() + (words == "tomorrow"))
    for form in ("%Y-%m-%d", "%d %b %Y", "%d %B %Y", "%d.%m.%Y", "%d/%m/%Y"):
        try:
            found = datetime.strptime(words, form).date()
        except ValueError:
            continue
        if abs((found - today).days) <= 40 * 366:
            return found
    for form in ("%d %b %Y", "%d %B %Y", "%d.%m. %Y"):
        near = []
        for year in (today.year - 1, today.year, today.year + 1):
            try:
                near.append(datetime.strptime(f"{words} {year}", form).date())
            except ValueError:
                continue
        if near:
            return min(near, key=lambda day: abs((day - today).days))
    raise UsageProblem(NOT_SAVED, expected="a day such as 2026-12-18 or 18 Dec", found=quoted(text))


def hour_typed(text: str) -> time:
    """An hour of the day: 9, 9:30, 0930, 17.00."""
    found = re.fullmatch(r"(\d{1,2})(?:[:.h]?(\d{2}))?", text.strip().casefold())
    if found and int(found[1]) < 24 and int(found[2] or 0) < 60:
        return time(int(found[1]), int(found[2] or 0))
    raise UsageProblem(NOT_SAVED, expected="an hour such as 9:00 or 1730", found=quoted(text))


def days_typed(text: str) -> tuple[int, ...]:
    """Days of the week: “Mon to Fri”, “Mon, Wed, Sat”, “every day”."""
    words = text.strip().casefold()
    if words in ("every day", "all", "daily"):
        return tuple(range(7))
    found: set[int] = set()
    for part in re.split(r"[,;]|\band\b", words):
        ends = [_weekday(end.strip()) for end in re.split(r"\bto\b|[-–]", part)]
        if None in ends or len(ends) > 2:
            raise UsageProblem(
                NOT_SAVED, expected="days such as Mon to Fri, or Mon, Wed, Sat", found=quoted(text)
            )
        first, last = cast(int, ends[0]), cast(int, ends[-1])
        found |= {(first + step) % 7 for step in range((last - first) % 7 + 1)}
    return tuple(sorted(found))


def _weekday(word: str) -> int | None:
    return _WEEKDAYS.index(word[:3]) if word[:3] in _WEEKDAYS else None


def yes_typed(text: str) -> bool:
    """Yes or no."""
    words = text.strip().casefold()
    if words in ("yes", "y", "true", "on", "1"):
        return True
    if words in ("no", "n", "false", "off", "0"):
        return False
    raise UsageProblem(NOT_SAVED, expected="yes or no", found=quoted(text))


def minutes_typed(text: str) -> float | None:
    """Minutes: 65, 65 min, 1:05; None for empty text."""
    words = text.strip().casefold().removesuffix("min").strip().replace(",", ".")
    if not words:
        return None
    found = re.fullmatch(r"(?:(\d{1,2}):)?(\d+(?:\.\d+)?)", words)
    minutes = float(found[2]) + 60 * int(found[1] or 0) if found else 0.0
    if not 1 <= minutes <= 1440:
        raise UsageProblem(NOT_SAVED, expected="minutes from 1 to 1440", found=quoted(text))
    return minutes


def paper_typed(text: str) -> WantedPaper:
    """A paper with its settings: “Rag 293: fine, finest; portrait; maker's profile”."""
    name, colon, wishes = text.partition(":")
    name = _clean(name)
    if not name or not colon:
        raise UsageProblem(
            NOT_SAVED, expected="a paper and its settings, as Rag 293: fine, finest", found=quoted(text)
        )
    return wishes_typed(name, wishes)


def wishes_typed(name: str, text: str) -> WantedPaper:
    """What is wanted of a paper: settings, then the use and whether its maker's profile may do."""
    settings, *rest = [part.strip() for part in text.split(";")]
    wanted = tuple(dict.fromkeys(_clean(one) for one in settings.split(",") if one.strip()))
    made_for: Use = "general"
    makers = False
    for part in rest:
        words = part.casefold().removeprefix("for ")
        if words in USES:
            made_for = words
        elif words in _MAKERS:
            makers = True
        elif words not in ("", "own charts"):
            known = ", ".join((*USES, "maker's profile"))
            raise UsageProblem(NOT_SAVED, expected=f"after a semicolon one of: {known}", found=quoted(part))
    if not 1 <= len(wanted) <= _MOST_SETTINGS:
        raise UsageProblem(NOT_SAVED, expected=f"1 to {_MOST_SETTINGS} settings", found=quoted(settings))
    return WantedPaper(name, wanted, made_for, makers)


def _clean(text: str) -> str:
    """A name with single spaces, in characters that UTF-8 can carry."""
    return " ".join(text.encode("utf-8", "replace").decode().split())


def wishes(paper: WantedPaper) -> str:
    """The same as it is typed.

    >>> wishes(WantedPaper("Rag 293", ("fine", "finest"), "portrait", True))
    "fine, finest; portrait; maker's profile"
    """
    use = "" if paper.made_for == "general" else paper.made_for
    return "; ".join(
        part for part in (", ".join(paper.settings), use, _MAKERS[0] if paper.maker_profile else "") if part
    )


def plain(about: About) -> dict[str, Any]:
    """The fields that are stated, as plain JSON values."""
    names = ("printer", "inks", "first", "last", "opens", "closes", "days", "second_viewings", "full_list")
    found = {name: plain_value(getattr(about, name)) for name in names}
    return {name: value for name, value in found.items() if value not in ("", None)}


def plain_value(value: Any) -> Any:
    """A value of a field as plain JSON."""
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, date):
        return value.isoformat()
    return list(value) if isinstance(value, tuple) else value


def plain_paper(paper: WantedPaper) -> dict[str, Any]:
    """What an entry holds of a paper."""
    return {
        "settings": list(paper.settings),
        "made_for": paper.made_for,
        "maker_profile": paper.maker_profile,
    }


def names(subject: str) -> tuple[str, ...]:
    """Paper, setting and step of an entry's subject."""
    return tuple(map(str, json.loads(subject)))
