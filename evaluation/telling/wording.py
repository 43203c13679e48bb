"""Numbers, dates and answers as the appendix words them: units beside them, proper minus signs."""

import math
from datetime import UTC, datetime, timedelta

from evaluation.judgement.opinion import Opinion
from evaluation.plain_text import listed
from evaluation.session import GRADE_WORDS, Cast, Count, Grade, Pick, Place, Value, YesNo

NOTHING = "–"  # an empty cell, beside a word that says why
GRADE_DIGITS = 1  # of a grade: its spread is seldom below 0.3
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def number(value: float, decimals: int) -> str:
    """A number with a typographer's minus sign; a rounded zero has no sign.

    >>> number(-0.31, 1), number(-0.01, 1)
    ('−0.3', '0.0')
    """
    text = f"{value:.{decimals}f}"
    if not text.strip("-0."):
        text = text.lstrip("-")
    return minus(text)


def minus(figure: str) -> str:
    """A figure with a typographer's minus sign."""
    return figure.replace("-", "−")


def measured(value: float, spread: float | None = None) -> str:
    """A measured value to the digits its spread allows (two of the spread), else to three figures.

    A spread below 0.0005 is that of a number without noise of its own, and is not shown.

    >>> measured(1.4376, 0.126), measured(1.4376), measured(96.42)
    ('1.44 ± 0.13', '1.44', '96.4')
    """
    if not math.isfinite(value):
        return NOTHING
    if spread is not None and math.isfinite(spread) and spread >= 0.0005:
        decimals = min(3, max(0, 1 - math.floor(math.log10(spread))))
        return f"{number(value, decimals)} ± {number(spread, decimals)}"
    size = math.floor(math.log10(abs(value))) if value else 0
    return number(value, min(4, max(0, 1 - size if size < 0 else 2 - size)))


def grade(value: float) -> str:
    """A grade, as every face shows it."""
    return number(value, GRADE_DIGITS)


def opinion(said: Opinion | None) -> str:
    """A grade with one standard error, or a dash.

    >>> opinion(Opinion(3.94, 0.52, 1, ""))
    '3.9 ± 0.5'
    """
    return NOTHING if said is None else f"{grade(said.grade)} ± {number(said.spread, 1)}"


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


def lasted(time: timedelta) -> str:
    """How long something took, in the unit a person would use.

    >>> lasted(timedelta(minutes=52)), lasted(timedelta(hours=26)), lasted(timedelta(days=8))
    ('52 min', '26 h', '8 days')
    """
    minutes = round(time.total_seconds() / 60)
    if minutes < 120:
        return f"{minutes} min"
    return f"{round(minutes / 60)} h" if minutes < 72 * 60 else f"{round(minutes / 1440)} days"


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
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?…" else ".")


def counted(count: int, one: str, several: str = "") -> str:
    """
    >>> counted(1, "viewing"), counted(2, "viewing"), counted(0, "patch", "patches")
    ('1 viewing', '2 viewings', 'no patches')
    """
    noun = one if count == 1 else several or f"{one}s"
    return f"{count or 'no'} {noun}"


def spaced(name: str) -> str:
    """An identifier as words.

    >>> spaced("cast_by_third")
    'cast by third'
    """
    return name.replace("_", " ")


def answer(value: Value) -> str:
    """What an observer answered.

    >>> answer(Grade(4)), answer(Pick((21, 34)))
    ('4, perceptible, but not annoying', 'fields 21 and 34')
    """
    match value:
        case Grade():
            return f"{value.value}, {GRADE_WORDS[value.value]}"
        case Count(number=0):
            return "none told apart"
        case Count():
            return f"figure {value.number}"
        case Cast():
            parts = (
                f"{part} {word}" + (f", {strength}" if strength else "")
                for part, word, strength in value.named
            )
            return "; ".join(parts)
        case Pick(numbers=(), outside=None):
            return "none of them"
        case Pick(numbers=()):
            return f"none; it lies outside the ring towards {value.outside}"
        case Pick():
            noun = "field" if len(value.numbers) == 1 else "fields"
            return f"{noun} {listed([str(each) for each in value.numbers])}"
        case Place(places=()):
            return "nowhere"
        case Place():
            return "; ".join(f"{name} from step {step}" if step else name for name, step in value.places)
        case YesNo():
            return "yes" if value.yes else "no"
