"""One region of two prints compared, in words: what eye and readings say, alone and together."""

from typing import Final

from evaluation.judgement.two_prints import Difference
from evaluation.telling.grades import number
from evaluation.telling.metrics import telling

_SHOWN: Final = 0.05  # grades: half of the digit that is shown


def reason(found: Difference, title: str) -> str:
    """One cell in a sentence: the word, and what it is made of."""
    return f"{title}, session {found.b} against {found.a}: {_cell(found)}."


def eye_word(found: Difference) -> str:
    """What the eye's grades alone say of a cell: "alike", or how much lower or higher b was graded; with a
    question mark where viewings vary that much.

    >>> one = Difference("skin", 1, 2, 0.0, False, "open", graded=(5.0, 4.0), viewings=(1, 1))
    >>> eye_word(one)
    '1.0 lower?'
    """
    if not found.graded:
        return ""
    change = found.graded[1] - found.graded[0]
    if abs(change) < _SHOWN:
        return "alike"
    sure = found.word in ("by grade", "apart", "contradict")
    return f"{abs(change):.1f} {'higher' if change > 0 else 'lower'}{'' if sure else '?'}"


def reading_word(found: Difference) -> str:
    """What the readings alone say of a cell."""
    if not found.read:
        return ""
    if not found.exceeds_repeatability:
        return "alike"
    return "large" if found.word == "large" else "measured"


def because(found: Difference) -> str:
    """What the word of a cell is made of, in the shortest form: the number that differs most, the grades."""
    graded = _graded(found) if found.graded and found.word not in ("measured", "large") else ""
    return ", ".join(part for part in (why_words(found), graded) if part)


def _cell(found: Difference) -> str:
    graded = _graded(found) if found.graded else "one of them not graded by eye"
    most = f"most in {why_words(found)}"
    match found.word:
        case "not comparable":
            return f"not comparable, {found.reason}"
        case "alike" if not found.read:
            return f"alike by eye alone, {graded}"
        case "alike":
            return "alike as far as looked and read" if found.graded else "alike in the readings alone"
        case "measured":
            return f"measured, {most}; {graded}"
        case "large":
            return f"measured, large enough to be seen, {most}; {graded}, not looked at side by side"
        case "by grade" if not found.read:
            return f"{graded}, further apart than viewings vary; no reading of both to compare"
        case "by grade":
            return f"{graded}, further apart than viewings vary, the readings alike: a fault they do not see?"
        case "apart":
            return f"apart to eye and readings, {most}; {graded}"
        case "contradict":
            return f"eye and readings contradict each other; {graded}, the readings the other way, {most}"
        case "open":
            return f"{graded}; viewings vary that much, look side by side"


def why_words(found: Difference) -> str:
    """The metric that decided, by its name; an obstacle to comparing, as it is."""
    return telling(found.reason.replace(" ", "_")).name


def _graded(found: Difference) -> str:
    """Both grades and the viewings behind them: "graded 4 and 3 from one viewing each"."""
    grades = " and ".join(number(grade) for grade in found.graded)
    first, second = found.viewings
    if first == second:
        return f"graded {grades} from {'one viewing' if first == 1 else f'{first} viewings'} each"
    return f"graded {grades} from {first} and {second} viewings"
