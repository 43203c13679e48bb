"""Text that came from a file or a user, made safe to show: never markup, never terminal control."""

import unicodedata
from collections.abc import Sequence

# Bidirectional overrides and isolates can reorder a whole line of a table; the scripts themselves stay.
_REORDERING = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u061c")


def visible(text: str) -> str:
    """Replace control characters, line breaks included, by visible stand-ins; keep everything else.

    >>> visible("Lustre\\x1b[31m 247\\n")
    'Lustre␛[31m 247␊'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_stand_in(char) for char in text)


def _stand_in(char: str) -> str:
    code = ord(char)
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "␡"
    if char in _REORDERING or unicodedata.category(char) in ("Cc", "Cs", "Zl", "Zp"):
        return "�"
    return char


def percent(share: float, digits: int = 0) -> str:
    """A share of 1 in percent, with the space that ISO 80000-1 asks for.

    >>> percent(0.804), percent(0.012, 1)
    ('80 %', '1.2 %')
    """
    return f"{100 * share:.{digits}f} %"


def difference(value: float, digits: int, *, signed: bool = True) -> str:
    """A difference of two figures that are shown with so many digits, to one digit more.

    Rounded once, from the unrounded value: 4.2 and 3.3 may lie 0.85 apart; nobody takes that for a wrong sum.

    >>> difference(-0.8499, 1), difference(0.0004, 1), difference(2.516, 2, signed=False)
    ('-0.85', '0.00', '2.516')
    """
    text = f"{value:{'+' if signed else ''}.{digits + 1}f}"
    return text if text.strip("+-0.") else text.lstrip("+-")


DIFFERENCES = "Differences are taken before rounding and shown to one digit more than their figures."


def quoted(text: str, limit: int = 60) -> str:
    """Text that somebody wrote, in quotation marks: as what was found in place of something else.

    >>> quoted("nine"), quoted("")
    ('“nine”', 'nothing')
    """
    return f"“{shortened(text, limit)}”" if text.strip() else "nothing"


def listed(parts: Sequence[str]) -> str:
    """Several in a row of prose; parted by semicolons where one of them holds a comma.

    >>> listed(["a"]), listed(["a", "b", "c"]), listed(["tone, top to bottom", "blacks"])
    ('a', 'a, b and c', 'tone, top to bottom; and blacks')
    """
    if len(parts) < 2:
        return "".join(parts)
    if any("," in part for part in parts):
        return f"{'; '.join(parts[:-1])}; and {parts[-1]}"
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def shortened(text: str, limit: int = 60) -> str:
    """Visible text, cut to `limit` characters with an ellipsis: for quoting what was found in a file.

    >>> shortened("a" * 8, 5)
    'aaaa…'
    """
    shown = visible(text)
    return shown if len(shown) <= limit else shown[: limit - 1] + "…"
