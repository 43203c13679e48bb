"""What can be chosen of an appendix, in words."""

from collections.abc import Sequence
from typing import Final

from evaluation.appendix.case import NAMINGS
from evaluation.appendix.case import PAPERS as PAPER_SIZES
from evaluation.appendix.case import PARTS as EVERY_PART

FORMS: Final = {".html": "one page of HTML", ".md": "Markdown", ".pdf": "PDF"}
NAMES: Final = {"role": "by role only", "name": "by the names they gave"}
PARTS: Final = {
    "article": "article",
    "whole": "whole",
    "summary": "page 1",
    "neutrality": "neutrality",
}
PAPERS: Final = {"a4": "A4", "us-letter": "Letter"}


def options(row: str, forms: Sequence[str]) -> list[str]:
    """The words to choose from in a row; none where something is typed. `forms`: endings of a file."""
    match row:
        case "parts":
            return [PARTS[each] for each in EVERY_PART]
        case "form":
            return [FORMS[ending] for ending in forms]
        case "paper":
            return [PAPERS[each] for each in PAPER_SIZES]
        case "observers":
            return [NAMES[each] for each in NAMINGS]
    return []
