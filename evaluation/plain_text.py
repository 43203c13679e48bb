"""Text that came from a file or a user, made safe to show: never markup, never terminal control."""

import re
from collections.abc import Sequence
from typing import Final

# Control characters, line breaks and halves of pairs; what can reorder a whole line of a table, while the
# scripts themselves stay; and what takes no room, so that two names could look alike: the code points that
# Unicode calls default ignorable (DerivedCoreProperties.txt), tags among them, and interlinear marks.
_HIDDEN: Final = (
    r"\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff"
    r"\u061c\u200e\u200f\u202a-\u202e"
    r"\xad\u115f\u1160\u17b4\u17b5\u180e\u200b\u2060-\u206f\u3164\ufeff\uffa0\ufff0-\ufffb"
    r"\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e00ff\U000e01f0-\U000e0fff"
)
# Joiners and selectors of a form are part of the sign before them: a letter of Arabic or Devanagari, an
# emoji, an ideograph. After a Latin letter, or one after the other, they only hide.
_SELECTORS: Final = r"\u034f\u180b-\u180d\u180f\ufe00-\ufe0f\U000e0100-\U000e01ef"
_JOINERS: Final = r"\u200c\u200d"
_LATIN: Final = r"\x00-\u05ff"
_SUSPECT: Final = re.compile(f"[{_HIDDEN}{_SELECTORS}{_JOINERS}]")
_UNSEEN: Final = re.compile(
    f"[{_HIDDEN}]"
    f"|(?<![^{_LATIN}{_HIDDEN}{_SELECTORS}{_JOINERS}])[{_SELECTORS}]"
    f"|(?<![^{_LATIN}{_HIDDEN}{_JOINERS}])[{_JOINERS}]"
)


def visible(text: str) -> str:
    """Replace what controls, reorders or hides by visible stand-ins of one character; keep everything else.

    >>> visible("Lustre\\x1b[31m 247\\n"), visible("Rag\\u200b 293")
    ('Lustre␛[31m 247␊', 'Rag� 293')
    """
    if (text.isascii() and text.isprintable()) or not _SUSPECT.search(text):
        return text
    return _UNSEEN.sub(_stand_in, text)


def _stand_in(found: re.Match[str]) -> str:
    code = ord(found[0])
    if code < 0x20:
        return chr(0x2400 + code)
    return "␡" if code == 0x7F else "�"


def percent(share: float, digits: int = 0) -> str:
    """A share of 1 in percent, with the space that ISO 80000-1 asks for.

    >>> percent(0.804), percent(0.012, 1)
    ('80 %', '1.2 %')
    """
    return f"{100 * share:.{digits}f} %"


def difference(value: float, digits: int, *, signed: bool = True) -> str:
    """A difference of two figures that are shown with so many digits, to one digit more.

    Rounded once, from the unrounded value: 4.2 and 3.3 may lie 0.85 apart, and no sum looks wrong.

    >>> difference(-0.8499, 1), difference(0.0004, 1), difference(2.516, 2, signed=False)
    ('-0.85', '0.00', '2.516')
    """
    text = f"{value:{'+' if signed else ''}.{digits + 1}f}"
    return text if text.strip("+-0.") else text.lstrip("+-")


DIFFERENCES = "Differences are taken before rounding and shown to one digit more than their figures."


def lower_first(text: str) -> str:
    """A title inside a sentence: its first letter small.

    >>> lower_first("Skin tones")
    'skin tones'
    """
    return text[:1].lower() + text[1:]


def capital(text: str) -> str:
    """A phrase as the beginning of a sentence.

    >>> capital("skin tones")
    'Skin tones'
    """
    return text[:1].upper() + text[1:]


def quoted(text: str, limit: int = 60) -> str:
    """Text that somebody wrote, in quotation marks: as what was found in place of something else.

    >>> quoted("nine"), quoted("")
    ('“nine”', 'nothing')
    """
    return f"“{shortened(text, limit)}”" if text.strip() else "nothing"


def listed(parts: Sequence[str]) -> str:
    """Several as one phrase; semicolons where one holds a comma, one comma more where one holds "and".

    >>> listed(["a"]), listed(["a", "b", "c"]), listed(["tone, top to bottom", "blacks"])
    ('a', 'a, b and c', 'tone, top to bottom; and blacks')
    >>> listed(["tints", "detail and registration"])
    'tints, and detail and registration'
    """
    if len(parts) < 2:
        return "".join(parts)
    if any("," in part for part in parts):
        return f"{'; '.join(parts[:-1])}; and {parts[-1]}"
    last = ", and " if any(" and " in part for part in parts) else " and "
    return f"{', '.join(parts[:-1])}{last}{parts[-1]}"


def counted(count: int, one: str, several: str = "") -> str:
    """
    >>> counted(1, "viewing"), counted(1380, "patch", "patches"), counted(0, "patch", "patches")
    ('1 viewing', '1,380 patches', 'no patches')
    """
    noun = one if count == 1 else several or f"{one}s"
    return f"{count:,} {noun}" if count else f"no {noun}"


def shortened(text: str, limit: int = 60) -> str:
    """Visible text, cut to `limit` characters with an ellipsis: for quoting what was found in a file.

    >>> shortened("a" * 8, 5)
    'aaaa…'
    """
    shown = visible(text)
    return shown if len(shown) <= limit else shown[: limit - 1] + "…"
