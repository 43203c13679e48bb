"""A finding in sentences: the grades of every viewing, what was read, and what stays out of the grade.

Each sentence takes in all grades, pairs and patches of the region, so that none claims too much.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from evaluation.judgement.ground import Ground
from evaluation.judgement.instrument import Graded
from evaluation.judgement.opinion import Agreement
from evaluation.judgement.voices import FINE
from evaluation.metrics.reach import Reach
from evaluation.metrics.strength import strength
from evaluation.plain_text import capital, listed, lower_first, percent
from evaluation.telling import grades
from evaluation.telling.metrics import sentence, telling

LOOK_AGAIN: Final = "Look at it again, or read it again"
_NOTHING: Final = 0.05  # dE00 or L*, shown as 0.0
_TOO_FAR: Final = "further apart than their spreads explain"
COLOURLESS: Final = "This mode prints no colour, so the ring-around shows nothing."
_UNUSABLE: Final = "it was read, but no reading can be used"


def why(agreement: Agreement, ground: Ground) -> str:
    """A few sentences for a finding: what decided, the eye's grades, what was not counted, what to do."""
    match agreement:
        case "left out":
            return COLOURLESS
        case "not graded yet":
            return f"{_not_graded(ground)}; its readings stay out of sight."
        case "none":
            return f"{_neither(ground)}."
        case "eye only" if ground.instrument is None:
            return _joined([grades.told(ground.said), *_without_grade(ground)])
        case "eye only":
            blind = f"Readings cannot show {listed(ground.unseen)}, so the eye decides alone"
            return _joined([blind, grades.told(ground.said), *_read(ground)])
        case "instrument only":
            return _joined([*_read(ground), "Not graded by eye"])
        case "disagree" if ground.eye is not None and ground.instrument is not None:
            told = [*_disagreeing(ground), *_read(ground, calm=False)]
            return _joined([*told, LOOK_AGAIN])
    read = list(_read(ground))
    low = _low(ground.keys)
    said = grades.told(ground.said)
    return _joined([read[0], said, *read[1:]] if low else [said, *read])


def _not_graded(ground: Ground) -> str:
    waiting = ground.said.waiting
    return f"Viewing {waiting} has not graded it yet" if waiting else "Not graded yet"


def _neither(ground: Ground) -> str:
    if ground.read:
        return f"{_not_graded(ground)}; {_UNUSABLE}"
    if ground.said.waiting:
        return f"{_not_graded(ground)}, and nothing was read"
    return (
        "Neither graded nor read"
        if ground.region.whole
        else "This region takes no grade, and nothing was read"
    )


def _without_grade(ground: Ground) -> Iterator[str]:
    """Why there is no grade by readings, and what was read all the same."""
    if ground.evidence is None or ground.reach is None:
        nothing = "Nothing was read here" if ground.region.patch_ids else "Nothing to read here"
        yield capital(_UNUSABLE) if ground.read else nothing
        return
    count, of = ground.reach.read, len(ground.region.patch_ids)
    yield f"{count} of {of} patches were read; none of their metrics is graded here"
    yield from _read(ground, calm=False)


def _read(ground: Ground, *, calm: bool = True) -> Iterator[str]:
    """What was read: the metric that decided, what is not in the grade, how far the patches lie off.

    Without `calm` nothing is stated where the metrics find no fault.
    """
    low = _low(ground.keys)
    if low:
        yield sentence(low[0], ground.evidence)
    beside = [one for one in _low(tuple(ground.found.values())) if one not in ground.keys]
    if beside:
        told = sentence(beside[0], ground.evidence)
        yield f"Not in the grade: {lower_first(told)}"
    yield from _strength(ground)
    if reached := _reached(ground, with_off=not low):
        yield reached
    elif calm and not low:
        names = listed([telling(one.anchor.metric).name for one in ground.keys])
        yield f"The readings find no fault in {names}"


def _strength(ground: Ground) -> Iterator[str]:
    """What strong colours are off by where that is graded, what the profile gives up, what is not judged."""
    graded = ground.found.get("colour_strength")
    told = None if graded is None or ground.evidence is None else strength(ground.evidence)
    if graded is None or told is None:
        return
    if graded.grade < FINE:
        name, least = told.weakest
        weakest = f", weakest in {name} ({_more(least, 'stronger', 'weaker')})" if least < 0 else ""
        light = f"{abs(told.lightness):.1f} L* {'lighter' if told.lightness > 0 else 'darker'}"
        chroma = _more(told.chroma, "stronger", "weaker")
        yield f"Strong colours are {chroma} and {light} than aimed at{weakest}"
    if told.given_up is not None and told.given_up < -_NOTHING:
        yield f"Outside the gamut the profile gives up {-told.given_up:.0f} C* in the median"
    if not told.both_ways:
        yield "Weak colours are not judged: the gamut is not known"


def _more(share: float, more: str, less: str) -> str:
    """
    >>> _more(-0.082, "stronger", "weaker")
    '8 % weaker'
    """
    return f"{percent(abs(share))} {more if share > 0 else less}"


def _low(found: Sequence[Graded]) -> list[Graded]:
    """The metrics graded below `FINE`, the worst first."""
    return sorted((one for one in found if one.grade < FINE), key=lambda one: one.grades[0])


def _reached(ground: Ground, *, with_off: bool) -> str:
    """How far the patches lie off, and which do not count; "" where neither is to be stated."""
    found = ground.reach
    if found is None:
        return ""
    of = len(ground.region.patch_ids)
    left_out = list(_left_out(found, of))
    parts = []
    if with_off and found.off:
        parts.append(_furthest(found))
    if left_out and found.off:
        parts.append(f"{max(one.patches for one in found.off)} of {of} patches count")
    told = "; ".join([*parts, *left_out])
    return capital(told)


def _furthest(found: Reach) -> str:
    off = [one for one in found.off if one.value >= _NOTHING]
    if not off:
        return f"The readings lie on {found.against}"
    most = " and ".join(f"{one.value:.1f} {one.unit} ({one.where})" for one in off)
    return f"The readings lie at most {most} from {found.against}"


def _left_out(found: Reach, of: int) -> Iterator[str]:
    if found.outside is not None:
        worst = found.outside
        lie = "lies" if worst.patches == 1 else "lie"
        yield f"{worst.patches} {lie} outside the gamut, by up to {worst.value:.1f} dE00 ({worst.where})"
    if found.off and found.aimless:
        yield f"{found.aimless} {'has' if found.aimless == 1 else 'have'} no aim"
    if found.read < of:
        missing = of - found.read
        yield f"{missing} {'was' if missing == 1 else 'were'} not read"


def _disagreeing(ground: Ground) -> Iterator[str]:
    """Where eye and readings disagree, by the question they disagree on most; how many more there are."""
    assert ground.instrument is not None
    apart = sorted(
        (pair for pair in ground.pairs if not pair.agree), key=lambda pair: -abs(pair.eye - pair.instrument)
    )
    if not apart:
        said = grades.by_observer(ground.said.grades)
        yield f"Eye {said}, readings {ground.instrument.grade:.1f}: {_TOO_FAR}"
        return
    worst, *more = apart
    ask = next(each.ask for each in ground.region.questions if each.id == worst.question)
    said = grades.by_observer(ground.heard[worst.question])
    yield f"“{ask}” Eye {said}, readings {worst.instrument:.1f}: {_TOO_FAR}"
    if more:
        yield f"They disagree on {'one more question' if len(more) == 1 else f'{len(more)} more questions'}"


def _joined(parts: Sequence[str]) -> str:
    return " ".join(f"{part}." for part in parts if part)
