"""Phrases as sentences, counts, ages and moments."""

from datetime import UTC, datetime, timedelta

from evaluation.plain_text import capital
from evaluation.plain_text import counted as counted

_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def moment(at: datetime) -> str:
    """A date and time with its offset, so that it reads alike on every machine.

    >>> moment(datetime(2026, 11, 24, 14, 31, tzinfo=UTC))
    '24 Nov 2026, 14:31 UTC'
    """
    offset = at.utcoffset() or timedelta(0)
    zone = "UTC" if not offset else f"UTC{at:%z}".replace("-", "−")
    return f"{day(at)}, {at:%H:%M} {zone}"


def day(at: datetime) -> str:
    return f"{at.day} {_MONTHS[at.month - 1]} {at.year}"


def utc(at: datetime) -> str:
    return moment(at.astimezone(UTC))


def how_sure(words: str) -> tuple[str, str]:
    """The word of a verdict, and in brackets how sure it is or where it leans.

    >>> how_sure("leans to not accepted, about 6 in 10: undecided"), how_sure("accepted, about 9 in 10")
    (('undecided', ' (leans to not accepted, about 6 in 10)'), ('accepted', ' (about 9 in 10)'))
    """
    leaning, colon, word = words.rpartition(": ")
    if colon:
        return word, f" ({leaning})"
    word, comma, share = words.partition(", ")
    return (word, f" ({share})") if comma else (words, "")


def folded(text: str) -> str:
    """A person's text on one line: runs of white space, line breaks included, become one space."""
    return " ".join(text.split())


def sentence(text: str) -> str:
    """A phrase as a sentence: a capital first, a full stop last, both only where they are missing.

    >>> sentence("slightly yellow in the middle third")
    'Slightly yellow in the middle third.'
    """
    text = folded(text)
    if not text:
        return ""
    return capital(text) + ("" if text[-1] in ".!?…" else ".")


def spaced(name: str) -> str:
    """An identifier as words.

    >>> spaced("cast_by_third")
    'cast by third'
    """
    return name.replace("_", " ")


def slug(text: str) -> str:
    """A name as part of an id or a file name: letters, digits and hyphens.

    >>> slug("mono_tone 1")
    'mono-tone-1'
    """
    return "".join(char if char.isascii() and char.isalnum() else "-" for char in text).strip("-") or "x"


def age_words(hours: float) -> str:
    """
    >>> age_words(0.42), age_words(24.4), age_words(80)
    ('25 min', '24 h', '3 days')
    """
    if hours < 1:
        return f"{hours * 60:.0f} min"
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.0f} days"
