"""Prints laid beside each other, in words: what it takes before it starts, and what came of it."""

from collections.abc import Iterable, Sequence

from evaluation.judgement.beside import scaling
from evaluation.judgement.beside.design import looks
from evaluation.judgement.beside.scaling import Apart
from evaluation.judgement.several import limit
from evaluation.plain_text import counted, listed
from evaluation.rounds import ASKED, Round
from evaluation.telling.numbers import number

CANNOT = (
    "What this cannot tell: how good a print is, how it looks by itself or in another light, and what lies "
    "outside these regions."
)


def load(prints: int, regions: int, times: int, at_once: int = 2) -> tuple[int, int]:
    """Judgements of one observer, and about how many minutes they take; to order three takes two of them."""
    many = looks(prints, at_once) * (at_once - 1) * regions * times
    return many, max(1, round(many * limit("judgement_takes") / 60))


def before(prints: int, regions: int, times: int, at_once: int = 2) -> str:
    """How many judgements, how long, and what that many can tell; for one observer."""
    many, minutes = load(prints, regions, times, at_once)
    each = "each pair" if at_once == 2 else "three at a time, each pair at least"
    often = {1: "once", 2: "twice"}.get(times, f"{times} times")
    told = (
        f"{counted(prints, 'print')} in {counted(regions, 'region')}, {each} {often}: "
        f"{counted(many, 'judgement')} for each observer, about {counted(minutes, 'minute')}."
    )
    if times < limit("pair_least"):
        return f"{told} {_order_only()}"
    error = number(scaling.error(times), 1)
    return f"{told} Two prints that look alike are then known to about {error} JND, one standard error."


def _order_only() -> str:
    return f"Fewer than {limit('pair_least'):.0f} of a pair give an order and no figure."


def pair(one: Apart, prints: Sequence[int], ask: str, *, by_how_much: bool = True) -> str:
    """One pair as a clause: not told apart, better by about so much, or only which was named more often.

    `by_how_much` False leaves the figures to a ruler that stands elsewhere.
    """
    first, second = prints[one.first], prints[one.second]
    if one.by < 0:
        first, second = second, first
    if not one.judgements:
        return f"{first} and {second}: never compared side by side"
    if one.order_only:
        many = f"{counted(one.judgements, 'judgement')}, too few for a figure"
        even = not round(one.by, 2)
        return f"{first} and {second}: even in {many}" if even else f"{first} before {second} in {many}"
    if one.low <= 0 <= one.high:
        return f"{first} and {second}: not told apart"
    if not by_how_much:
        return f"{first} {ask} than {second}{'' if one.told_apart else ' to these eyes'}"
    most = limit("jnd_most")
    low, high = sorted(
        abs(end) for end in (one.others if one.told_apart and one.others else (one.low, one.high))
    )
    by = (
        f"by more than {most:.0f} JND"
        if abs(one.by) > most
        else f"by about {number(abs(one.by), 1)} JND ({number(low, 1)} to {number(high, 1)})"
    )
    if not one.told_apart:
        return f"{first} {ask} than {second} to these eyes {by}, not surely to others"
    return f"{first} {ask} than {second} {by}"


def in_short(title: str, ask: str, prints: Sequence[int], apart: Iterable[Apart]) -> str:
    """What the answers in one region say, without figures."""
    return f"{title}: {'; '.join(pair(one, prints, ask, by_how_much=False) for one in apart)}."


def region(
    title: str,
    ask: str,
    prints: Sequence[int],
    observers: int,
    apart: Iterable[Apart],
    circles: Iterable[Sequence[int]],
    consistence: float | None,
) -> list[str]:
    """What the answers in one region say: each pair, whose eyes it holds for, circles to look at again."""
    given = tuple(apart)
    found = [f"{title}: {'; '.join(pair(one, prints, ask) for one in given)}."]
    figured = [one for one in given if not one.order_only and not one.low <= 0 <= one.high]
    if figured:
        found.append(f"Judged by {counted(observers, 'observer')}; intervals of 95 %, {_whose(figured)}.")
    return [*found, *fits(circles, consistence)]


def _whose(figured: Sequence[Apart]) -> str:
    general = [one.told_apart and one.others is not None for one in figured]
    if all(general):
        return "for other eyes too"
    return "for other eyes too unless these are named" if any(general) else "for these eyes alone"


def in_rounds_with(title: str, others: Sequence[int]) -> str:
    """The title of a region whose rounds held other prints as well.

    >>> in_rounds_with("Skin tones", [1]), in_rounds_with("Skin tones", [1, 6])
    ('Skin tones, in rounds with session 1', 'Skin tones, in rounds with sessions 1 and 6')
    """
    noun = "session" if len(others) == 1 else "sessions"
    return f"{title}, in rounds with {noun} {listed([str(one) for one in others])}"


def fits(circles: Iterable[Sequence[int]], consistence: float | None) -> list[str]:
    """Whether the answers fit together: circles to look at again, Kendall's coefficient if there is one."""
    found = [
        f"A circle: {a} over {b}, {b} over {c}, {c} over {a}. Look at these again." for a, b, c in circles
    ]
    if consistence is not None:
        found.append(f"Kendall's coefficient of consistence: {number(consistence, 2)}; 1 means no circle.")
    return found


def open_early(rounds: Sequence[Round]) -> str:
    """That letters were known before the last answer; "" where none were."""
    if not rounds:
        return ""
    numbers = listed([str(one.id) for one in rounds])
    many = "round" if len(rounds) == 1 else "rounds"
    return f"Letters opened before the last answer: {many} {numbers}; answers until then count."


def waiting(one: Round, title: str) -> str:
    """A round that waits for answers; its letters, never its prints."""
    return (
        f"Round {one.id}, {title}, {one.observer}: {len(one.answers)} of {len(one.pairs)} answered, "
        f"letters {listed(sorted(one.prints))}. {ASKED[one.ask]}"
    )
