"""Moments and texts as the archive keeps them. Standard library only."""

import json
from datetime import UTC, datetime
from typing import Any


def stamped(moment: datetime) -> str:
    """UTC, ISO 8601, to the millisecond: of fixed width, so that text sorts as time does.

    >>> from datetime import timedelta, timezone
    >>> stamped(datetime(2024, 3, 2, 14, 2, 0, 123456, timezone(timedelta(hours=1))))
    '2024-03-02T13:02:00.123+00:00'

    Raises ValueError for a moment without a time zone: nobody could know later when it was.
    """
    if moment.tzinfo is None:
        raise ValueError(f"a moment without a time zone: {moment}")
    return moment.astimezone(UTC).isoformat(timespec="milliseconds")


def stamped_or_none(moment: datetime | None) -> str | None:
    """As `stamped`; None for None."""
    return None if moment is None else stamped(moment)


def moment(text: str) -> datetime:
    """What `stamped` wrote."""
    return datetime.fromisoformat(text)


def moment_or_none(text: str | None) -> datetime | None:
    """As `moment`; None for None."""
    return None if text is None else datetime.fromisoformat(text)


def as_json(value: Any) -> str:
    """Compact JSON in ASCII. Raises ValueError for infinities and NaN, TypeError for what is not plain."""
    return json.dumps(value, allow_nan=False, separators=(",", ":"))


def encodable(text: str) -> str:
    """Text that UTF-8 can carry: lone surrogates, as undecodable file names hold them, become U+FFFD."""
    return "".join("\ufffd" if "\ud800" <= char <= "\udfff" else char for char in text)
