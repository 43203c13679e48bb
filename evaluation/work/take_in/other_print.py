"""Files that speak of another print than the session's: of its paper, its printer, or a day before it.

None of these proves anything, so a person is asked, and a word settles it. One of two clocks may be wrong:
readings from before the print stay a caveat of its results.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Final

from evaluation.archive import session_list
from evaluation.plain_text import quoted
from evaluation.readings.age import day_alone, impossible, read_at
from evaluation.readings.run import Taken
from evaluation.readings.supplied import Doubtful, OpenQuestion
from evaluation.session import PrintingCondition
from evaluation.work.bench import Bench

_MOST_SESSIONS: Final = 1_000  # looked at for names of other papers and printers
_SHORTEST: Final = 4  # letters of a name that can be looked for

# The finishes that a word of the trade leaves possible; common practice. Two papers of which the words leave
# none in common are two.
_FINISHES: Final = {
    **dict.fromkeys(("lustre", "luster"), ("lustre",)),
    **dict.fromkeys(("gloss", "glossy", "photogloss"), ("gloss",)),
    **dict.fromkeys(("satin", "semigloss", "silk", "pearl"), ("satin", "lustre")),
    **dict.fromkeys(("baryta", "fibre", "fiber"), ("lustre", "gloss", "satin")),
    **dict.fromkeys(("matte", "matt", "rag", "cotton", "etching", "press", "watercolour"), ("matte",)),
    "canvas": ("canvas",),
}


def refuse(bench: Bench, condition: PrintingCondition, titles: Sequence[str], what: str) -> None:
    """Raise Doubtful where a file speaks of another paper or printer.

    Parameters
    ----------
    titles
        What the file calls itself, its name first.
    what
        The outcome, for the message.
    """
    doubt = _finish(condition.paper, titles) or _other_name(bench, condition, titles)
    if doubt is None:
        return
    expected, found, question = doubt
    raise Doubtful(
        what,
        (OpenQuestion("anyway", question, ("yes",), "of this print all the same?"),),
        where=titles[0],
        expected=expected,
        found=found,
        remedy="Take it in to the session of that print; if it is of this one all the same, say --anyway.",
    )


def refuse_earlier(printed: datetime | None, takens: Sequence[Taken], name: str, what: str) -> None:
    """Raise Doubtful where readings of the print itself are dated before it was printed."""
    early = impossible(printed, read_at(takens))
    if printed is None or not early:
        return
    stated, made = _clock(min(early)), _clock(printed)
    question = f"This file was measured {stated}, the print made {made}"
    raise Doubtful(
        what,
        (
            OpenQuestion("anyway", question, ("yes",), "of this print all the same?"),
            OpenQuestion("measured_at", "or when was it measured", (), f"the file says {stated}"),
        ),
        where=name,
        expected=f"readings made after the print, {made}",
        found=f"readings of {stated}",
        remedy="Take it in to the session of the earlier print. If it is of this one, say --anyway, or when "
        "it was measured with --measured-at, or correct the day of printing.",
    )


def _clock(at: datetime) -> str:
    return f"{at:%Y-%m-%d}" if day_alone(at) else f"{at:%Y-%m-%d %H:%M}"


Doubt = tuple[str, str, str]  # expected, found, the question in one line


def _finish(paper: str, titles: Sequence[str]) -> Doubt | None:
    here = _possible(paper)
    for title in titles:
        there = _possible(title)
        if here and there and not here.keys() & there.keys():
            mine, other = next(iter(here.values())), next(iter(there.values()))
            question = f"This file says {other.capitalize()}, the session {mine.capitalize()}"
            return f"readings of {quoted(paper)}", f"{quoted(title)}, another paper", question
    return None


def _possible(text: str) -> dict[str, str]:
    """The finishes that the words of a text leave possible, with the word; {} where no word says anything."""
    left: dict[str, str] | None = None
    for word in re.findall(r"[a-z]+", text.casefold()):
        if word in _FINISHES:
            finishes = dict.fromkeys(_FINISHES[word], word)
            left = finishes if left is None else {key: left[key] for key in left if key in finishes} or left
    return left or {}


def _other_name(bench: Bench, condition: PrintingCondition, titles: Sequence[str]) -> Doubt | None:
    """The paper or printer of another session, named where this session's own is not."""
    heads = session_list.heads(bench.archive, limit=_MOST_SESSIONS)
    for own, names, kind in (
        (condition.paper, {head.summary.paper for head in heads}, "paper"),
        (condition.printer, {head.summary.printer for head in heads}, "printer"),
    ):
        for title in titles:
            said = _plain(title)
            other = _named(said, (name for name in names if _plain(name) != _plain(own)))
            if own and other and _plain(own) not in said and _plain(other) not in _plain(own):
                question = f"This file says {other}, the session {own}"
                return f"readings of {quoted(own)}", f"{quoted(title)}, another {kind}", question
    return None


def _named(said: str, names: Iterable[str | None]) -> str:
    found = [name for name in names if name and len(_plain(name)) >= _SHORTEST and _plain(name) in said]
    return max(found, key=len, default="")


def _plain(text: str) -> str:
    return " " + " ".join(re.findall(r"[a-z0-9]+", text.casefold())) + " " if text else ""
