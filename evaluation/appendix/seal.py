"""The seal of a page that was written: a digest over all of it but the seal itself.

It shows what was changed by accident or carelessly. Who wants to deceive can seal a page anew; the copy kept
in the archive cannot be sealed anew, and decides.
"""

import hashlib
import re
from typing import Final

EMPTY_IN_HTML: Final = '<code id="seal"></code>'
EMPTY_IN_MARKDOWN: Final = "Seal ``"
_SEALS: Final = (
    (EMPTY_IN_HTML, re.compile(r'<code id="seal">([0-9a-f]{64})</code>'), '<code id="seal">{}</code>'),
    (EMPTY_IN_MARKDOWN, re.compile(r"(?m)^Seal `([0-9a-f]{64})`"), "Seal `{}`"),
)


def sealed(text: str) -> str:
    """The page with its seal put in. Raises ValueError unless there is exactly one place for it."""
    for empty, _, filled in _SEALS:
        if text.count(empty) == 1:
            return text.replace(empty, filled.format(_digest(text)))
    raise ValueError("a page has one place for its seal")


def carries(text: str) -> bool:
    """Whether the page carries exactly one seal."""
    return _emptied(text) is not None


def holds(text: str) -> bool:
    """Whether the text is what it was when it was sealed."""
    found = _emptied(text)
    return found is not None and _digest(found[0]) == found[1]


def _emptied(text: str) -> tuple[str, str] | None:
    """The text as it was before its seal was put in, and the seal."""
    for empty, pattern, _ in _SEALS:
        seals = pattern.findall(text)
        if len(seals) == 1:
            return pattern.sub(empty, text), seals[0]
    return None


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
