"""What is entered about a loan, in words: its fields, what an undo was about, readers' questions."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Final

from evaluation.loan import LoanKind
from evaluation.plain_text import counted
from evaluation.telling.plan import NAMES, short_day


def question(number: int, text: str, who: str, paper: str, region: str) -> str:
    """A reader's question with what it is about."""
    about = about_words(who, paper, region)
    return f"{number}. {text}" + (f" ({about})" if about else "")


def ask_before(number: int, last: datetime | None, now: datetime) -> str:
    """How many questions wait, and until when they can be answered."""
    if not number:
        return "No question is open."
    many = counted(number, "open question")
    return f"{many}." if last is None else f"{many}; answer before it goes back on {short_day(last)}."


NO_QUESTION: Final = "No questions from readers yet."


def about_words(who: str, paper: str, region: str) -> str:
    """Who asked, and about what; "" where nothing of it is known."""
    return ", ".join(part for part in (who, paper, region) if part)


def answer(text: str, appendix: str) -> str:
    """The answer to a question, and where readers find it."""
    return f"   {text}" + (f" In {appendix}." if appendix else "")


_ABOUT: Final[Mapping[LoanKind, str]] = {
    "paper": "paper {}",
    "minutes": "minutes of a step",
    "took": "a timed step",
    "timer": "the clock of a step",
    "session": "session of {}",
    "lost": "day without work {}",
    "left out": "left out: {}",
    "question": "question {}",
    "answer": "answer to question {}",
}
FIELD: Final[Mapping[str, str]] = {
    "printer": "printer",
    "inks": "inks",
    "first": "first day",
    "last": "goes back on",
    "opens": "open from",
    "closes": "open until",
    "days": "open days",
    "second_viewings": "second viewings",
    "full_list": "full list of patches",
}


def turn_question(way: str, kind: LoanKind, names: Sequence[str]) -> str:
    """The question before something on another page is undone.

    >>> turn_question("undo", "answer", ("1",))
    'Undo “answer to question 1”? It is on another page. 1 yes, 0 no.'
    """
    verb = {"undo": "Undo"}.get(way, "Redo")
    return f"{verb} “{_what(kind, names)}”? It is on another page. 1 yes, 0 no."


def _what(kind: LoanKind, names: Sequence[str]) -> str:
    if kind == "done":
        return f"{', '.join(names[:-1])}: {NAMES[names[-1]]}"
    if kind == "about":
        return FIELD.get(names[0], names[0])
    return _ABOUT[kind].format(", ".join(names))


def turned(way: str, kind: LoanKind, names: Sequence[str], more: int) -> str:
    """What an undo or a redo was about; `more` entries went with it.

    >>> turned("undo", "done", ("Rag 293", "fine", "charts"), 0)
    'Undone: Rag 293, fine: print the charts.'
    """
    what = _what(kind, names)
    rest = f" and {more} more" if more else ""
    return f"{'Undone' if way == 'undo' else 'Redone'}: {what}{rest}."


FIELD_NOTE: Final[Mapping[str, str]] = {
    "days": "or Mon, Wed, Sat",
    "second_viewings": "yes: looked at twice",
    "full_list": "no: thirty are read",
}
NONE: Final = "none"
LOST: Final = "days lost"
LOST_NOTE: Final = "a day again: it counts"
BASE: Final = "never left out"
BY: Final[Mapping[str, str]] = {
    "usual": "usual, our choice",
    "entered": "as you entered",
    "timed": "median of your timers",
}
