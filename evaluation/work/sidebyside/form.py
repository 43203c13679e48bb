"""The form of rounds as text: every pair under its letters, all answers blank; and the form read back."""

import re
from collections.abc import Mapping, Sequence

from evaluation import keyed
from evaluation.archive import rounds
from evaluation.keyed import Keyed
from evaluation.plain_text import counted, visible
from evaluation.rounds import ASKED, Named, Round
from evaluation.work.bench import Bench
from evaluation.work.log import refuse_read_only

NOT_RECORDED = "No answer was recorded."
_SAID: Mapping[Named, tuple[str, ...]] = {
    "left": ("1", "left"),
    "right": ("2", "right"),
    "none": ("0", "none", "no difference"),
}
_WORDS: Mapping[str, Named] = {word: named for named, words in _SAID.items() for word in words}
_HEAD = """\
# Prints side by side, under letters. Write between the quotation marks the letter of the one you would name,
# or 0 where you see no difference. Answer all pairs of a round, in this order, the letters as they lie.
"""

Answers = Mapping[int, Named]  # by place


def blank_form(waiting: Sequence[Round], titles: Mapping[str, str]) -> str:
    """Every pair that waits for an answer. It holds no answer, and no print by anything but its letter."""
    lines = [_HEAD]
    for one in waiting:
        lines += [
            f"# {visible(titles.get(one.region, one.region))}, {visible(one.observer)}. {ASKED[one.ask]}",
            f"[round_{one.id}]",
        ]
        lines += [
            f'{place + 1} = ""  # {left} on the left, {right} on the right'
            for place, (left, right) in enumerate(one.pairs)
            if place not in one.answers
        ]
        lines.append("")
    return "\n".join(lines)


def read_form(text: str, where: str, waiting: Sequence[Round]) -> dict[int, Answers]:
    """The answers of the rounds that the form has, by number of the round; a round left blank is left out.

    Raises SheetProblem, naming every mistake: a round that does not wait, a letter that is not of the pair,
    a round with some of its answers only.
    """
    top = keyed.parsed(text, where, what=NOT_RECORDED, form=True)
    known = {f"round_{one.id}": one for one in waiting}
    found: dict[int, Answers] = {}
    for name in top.names():
        if (one := known.get(name)) is None:
            top.unknown(name, "round, or one that waits for no answer", known)
        elif top.has(name) and (own := _answers(top.table(name), one)):
            found[one.id] = own
            table = top.table(name)
            left = [
                place + 1
                for place in range(len(one.pairs))
                if place not in one.answers and not table.has(str(place + 1))
            ]
            if left:
                top.note(name, f"{counted(len(left), 'pair')} without an answer, the first is {left[0]}")
    top.finish()
    if not found:
        top.note("round", "no answer found; every line of the form is blank")
        top.finish()
    return found


def _answers(table: Keyed, one: Round) -> dict[int, Named]:
    given: dict[int, Named] = {}
    for name in table.names():
        place = int(name) - 1 if re.fullmatch(r"[1-9]\d{0,3}", name) else -1
        if place not in range(len(one.pairs)):
            table.note(name, f"no pair of this round, which has {len(one.pairs)}")
            continue
        if not table.has(name):
            continue
        if place in one.answers:
            table.note(name, "answered before")
            continue
        left, right = one.pairs[place]
        meant: Mapping[str, Named] = {**_WORDS, left.casefold(): "left", right.casefold(): "right"}
        said = meant.get(str(table.any(name)).strip().casefold())
        if said is None:
            table.wrong(name, f"{left}, {right} or 0", table.any(name))
        else:
            given[place] = said
    return given


def record(bench: Bench, answers: Mapping[int, Answers]) -> tuple[Round, ...]:
    """Keep all of them, or none; the rounds after it."""
    refuse_read_only(bench)
    with bench.archive.joined():
        after = []
        for number, given in answers.items():
            for place, named in sorted(given.items()):
                rounds.judge(bench.archive, number, place, named, bench.now())
            after.append(rounds.load(bench.archive, number))
    return tuple(after)
