"""How far prints are apart to the eye, as a figure: a row a pair, the better one first, with intervals."""

from collections.abc import Sequence
from typing import Final

from evaluation.judgement.beside.result import InRegion
from evaluation.judgement.beside.scaling import Apart
from evaluation.judgement.several import limit
from evaluation.telling.figure import Figure, Line
from evaluation.telling.numbers import number
from evaluation.telling.wording import folded, slug

LEAST, MOST = -1.0, 4.0  # JND, what the ruler shows
THESE: Final = "for these eyes, 95 %"
OTHERS: Final = "for other eyes, 95 %"
APART: Final = "how far apart"


def jnd_ruler(found: InRegion, prefix: str = "side") -> Figure:
    """The pairs of one region. Above 2 JND a mark stands at 2 without an interval: more is not known."""
    pairs = [_better_first(one) for one in found.apart if one.judgements]
    names = tuple(_name(one, found.prints) for one in pairs)
    figured = [(row, one) for row, one in enumerate(pairs) if not one.order_only]
    most = limit("jnd_most")
    lines = [
        Line(
            APART,
            tuple(round(min(one.by, most), 2) for _, one in figured),
            tuple(float(row) for row, _ in figured),
            "point",
            names=tuple(names[row] for row, _ in figured),
            told=tuple(told(one) for _, one in figured),
            mark="●",
        )
    ]
    for row, one in figured:
        if one.by <= most:
            lines.append(_interval(THESE, (one.low, one.high), row))
            if one.others is not None:
                lines.append(_interval(OTHERS, one.others, row))
    few = tuple(f"{name}: too few judgements for a figure" for name in names if name not in lines[0].names)
    told_all = "; ".join(f"{name}: {text}" for name, text in zip(lines[0].names, lines[0].told, strict=True))
    return Figure(
        id=f"{prefix}-{slug(found.region)}-{found.ask}",
        title=f"{folded(found.title)}: how far the prints are apart, JND",
        x="just noticeable differences (JND)",
        y="",
        lines=tuple(lines),
        row_names=names,
        notes=tuple(("", each) for each in few),
        alt=f"Pairs of prints by session, the better one first. {told_all or 'no figure'}.",
        zero=True,
        x_range=(LEAST, MOST),
    )


def told(one: Apart) -> str:
    """The text beside a row, the better one first: the distance, with the interval that bears it out."""
    if one.low <= 0 <= one.high:
        return "not told apart"
    alone = one.others is not None and one.others[0] <= 0
    whose = ", these eyes" if alone else ""
    if one.by > limit("jnd_most"):
        return f"more than {number(limit('jnd_most'), 0)}{whose}"
    low, high = (one.low, one.high) if alone or one.others is None else one.others
    return f"{number(one.by, 1)} ({number(low, 1)} to {number(high, 1)}){whose}"


def _better_first(one: Apart) -> Apart:
    if one.by >= 0:
        return one
    turned = None if one.others is None else (-one.others[1], -one.others[0])
    return Apart(one.second, one.first, -one.by, -one.high, -one.low, turned, 1 - one.better, one.judgements)


def _name(one: Apart, prints: Sequence[int]) -> str:
    first, second = prints[one.first], prints[one.second]
    apart = one.order_only or not one.low <= 0 <= one.high
    return f"{first} over {second}" if apart else f"{first} and {second}"


def _interval(name: str, ends: tuple[float, float], row: int) -> Line:
    return Line(name, (round(ends[0], 2), round(ends[1], 2)), (float(row), float(row)), "line")
