"""Prints of one sheet compared, as an appendix shows it: the eye first, every word explained."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from evaluation.judgement.opinion import Finding
from evaluation.judgement.two_prints import Difference, Word
from evaluation.plain_text import capital, listed, lower_first
from evaluation.telling.difference import eye_word, why_words
from evaluation.telling.numbers import grade
from evaluation.telling.table import Table
from evaluation.telling.wording import folded

NOT_JUDGED: Final = "not judged"
_ALIKE: Final = "alike"
_MEANS: Final[dict[Word, str]] = {
    "alike": "Alike: within repeats, and graded alike",
    "measured": "measured: beyond repeats",
    "large": "large: beyond repeats, by enough to be seen",
    "by grade": "by grade: graded further apart than viewings vary, the readings alike",
    "apart": "apart: to eye and readings",
    "contradict": "contradict: eye and readings, each the other way round",
    "open": "open: graded apart by no more than viewings vary",
}
_NOBODY: Final = "No word here is a judgement of two prints side by side"


@dataclass(frozen=True, slots=True)
class PrintsRow:
    """A region of prints of one sheet, in their order.

    found        what was made of it, as far as it may be shown; None where a print has no such region
    shown        whether its readings may be shown
    differences  from the base; None for the base itself and where nothing was compared
    """

    title: str
    found: tuple[Finding | None, ...]
    shown: tuple[bool, ...]
    differences: tuple[Difference | None, ...]


def in_words(rows: Sequence[PrintsRow], names: Sequence[str], base: int) -> Table:
    """A row a region, a column a print, the base first; regions that are alike everywhere share a row.

    `base`: the place of the base among the prints.
    """
    order = [base, *(place for place in range(len(names)) if place != base)]
    plain: dict[tuple[str, ...], list[PrintsRow]] = {}
    told: list[tuple[str, ...]] = []
    for row in rows:
        others = tuple(_cell(row, place) for place in order[1:])
        if {*others} <= {_ALIKE, NOT_JUDGED}:
            plain.setdefault(others, []).append(row)
        else:
            told.append((capital(folded(row.title)), _by_eye(row, base), *others))
    told += [
        (
            capital(", ".join(lower_first(folded(row.title)) for row in joined)),
            "; ".join(dict.fromkeys(_by_eye(row, base) for row in joined))
            if len(joined) > 1
            else _by_eye(joined[0], base),
            *others,
        )
        for others, joined in plain.items()
    ]
    heads = ("region", f"{names[base]} (base)", *(names[place] for place in order[1:]))
    return Table("", heads, tuple(told))


def meanings(rows: Iterable[PrintsRow]) -> str:
    """The words that stand in these rows, explained once; "" where nothing was compared."""
    used = {one.word for row in rows for one in row.differences if one is not None}
    means = "; ".join(words for word, words in _MEANS.items() if word in used)
    return f"{capital(means)}. {_NOBODY}." if means else ""


def _by_eye(row: PrintsRow, place: int) -> str:
    """The grade of one print by itself."""
    found = row.found[place]
    if found is None or found.eye is None:
        return NOT_JUDGED
    eye = f"eye {grade(found.eye.grade)}"
    if not row.shown[place] or found.instrument is None or found.agreement != "disagree":
        return eye
    return f"{eye}, readings {grade(found.instrument.grade)}: settle first"


def _cell(row: PrintsRow, place: int) -> str:
    """The eye's grade, then how the print differs from the base and in what."""
    found, compared = row.found[place], row.differences[place]
    if found is None or (found.eye is None and (compared is None or compared.word == "not comparable")):
        return NOT_JUDGED
    eye = _by_eye(row, place)
    if compared is None or eye.endswith("first"):
        return eye
    match compared.word:
        case "alike":
            return _ALIKE
        case "not comparable":
            return f"{eye}; {why_words(compared)}"
        case "by grade":
            return f"{eye}; by grade {eye_word(compared)}"
    return f"{eye}; {compared.word}{f': {why_words(compared)}' if compared.reason else ''}"


def not_beside(sheets: Sequence[Sequence[int]]) -> str:
    """Which prints are not compared, since they are of other sheets; "" for one sheet."""
    if len(sheets) < 2:
        return ""
    groups = [listed([str(each) for each in one]) for one in sheets]
    return f"Sessions {'; '.join(groups[:-1])} with {groups[-1]}: printed from other sheets"
