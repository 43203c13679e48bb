"""The plane of a* and b*: what was read as lines, the aim dotted, each name outside its line's end."""

import math
from collections.abc import Iterator, Sequence
from typing import Final

from evaluation.appendix.drawing.letters import fitted, width
from evaluation.appendix.drawing.marks import (
    FAINT,
    SIZE,
    SMALL,
    XY,
    Drawing,
    Label,
    dot,
    drawing,
    hoop,
    overlaps,
    path,
    ring,
    rule,
    square,
)
from evaluation.appendix.drawing.scales import Scale, scale, tick_words
from evaluation.telling.figure import Figure, Line

_RIM: Final = 34.0  # round the plane, for names
_TALLEST: Final = 0.75  # a part of the plane, over its width
_GAP: Final = 5.0
_MARKS: Final = (dot, ring, square)


def plane(figure: Figure, wide: float) -> Drawing:
    xs = [x for line in figure.lines for x in line.x]
    ys = [y for line in figure.lines for y in line.y]
    round_grey = bool(xs) and min(xs) < -5 and max(xs) > 5 and min(ys) < -5 and max(ys) > 5
    across, up, high = _rings(xs, ys, wide, figure) if round_grey else _part(xs, ys, wide)
    strokes, words = _frame(figure, across, up, high, round_grey)
    kinds = list(dict.fromkeys(_kind(line) for line in figure.lines if line.drawn != "aim"))
    ends: dict[str, XY] = {}
    for line in figure.lines:
        points = [(across(x), up(y)) for x, y in line.points]
        if line.drawn == "aim":
            strokes.append(path(points, 0.9, "0.8 1.8"))
        else:
            k = kinds.index(_kind(line))
            mark = _MARKS[k % 3] if not line.label else dot
            strokes.append(path(points, 0.9 if k else 1.2))
            strokes.append(mark(*points[-1], 3.2 if mark is square else 1.8))
        if line.label:
            x, y = ends.get(line.label, points[-1])
            further = max([(x, y), points[-1]], key=lambda at: math.dist(at, (across(0), up(0))))
            ends[line.label] = further
    ends = _with_aims(figure, ends, across, up)
    named = _rim_names(ends, (across(0), up(0)), strokes, words, wide, high)
    if not ends and len(kinds) > 1:
        named = list(_key(kinds, high))
        strokes += [_MARKS[k % 3](4, high + 6 + 9 * k, 3.2 if k % 3 == 2 else 1.8) for k in range(len(kinds))]
        high += 9 * len(kinds) + 6
    return drawing(wide, high, strokes, (*words, *named))


def _kind(line: Line) -> str:
    return line.label or line.name


def _rings(
    xs: Sequence[float], ys: Sequence[float], wide: float, figure: Figure
) -> tuple[Scale, Scale, float]:
    furthest = max(math.hypot(x, y) for x, y in zip(xs, ys, strict=True))
    reach = max(math.ceil(furthest / 10) * 10, (figure.x_range or (0, 0))[1])
    half = wide / 2 - _RIM
    high = 2 * (half + 16)
    middle = high / 2
    return (
        Scale(-reach, reach, wide / 2 - half, wide / 2 + half, 50),
        Scale(-reach, reach, middle + half, middle - half, 50),
        high,
    )


def _part(xs: Sequence[float], ys: Sequence[float], wide: float) -> tuple[Scale, Scale, float]:
    """A part of the plane, both axes at one scale."""
    left, right = 24.0, wide - 12
    across = scale(xs, None, left, right)
    up = scale(ys, None, 0, 1)
    point = (right - left) / (across.high - across.low)
    span = (up.high - up.low) * point
    if span > (most := _TALLEST * wide):  # a tall part is narrowed instead
        point *= most / span
        span = most
        across = Scale(across.low, across.high, left, left + (across.high - across.low) * point, across.step)
    return across, Scale(up.low, up.high, 14 + span, 14, up.step), span + 36


def _frame(
    figure: Figure, across: Scale, up: Scale, high: float, round_grey: bool
) -> tuple[list[str], list[Label]]:
    x0, y0 = across(0), up(0)
    if round_grey:
        one = across(1) - x0
        hoops = [hoop(x0, y0, each * one) for each in (50, 100) if each <= across.high]
        cross = [
            rule(across.start, y0, across.end, y0, 0.4, FAINT),
            rule(x0, up.start, x0, up.end, 0.4, FAINT),
        ]
        return [*hoops, *cross], []
    strokes, words = [], []
    ticks = across.ticks()
    widest = max(width(tick_words(each, across.step, signed=False), SMALL) for each in ticks) + 4
    fit = max(1, round(0.5 + widest * len(ticks) / max(1.0, across.end - across.start)))
    for value in ticks[::fit]:
        strokes.append(rule(across(value), up.end, across(value), up.start, 0.4, FAINT))
        text = tick_words(value, across.step, signed=False)
        words.append(Label(text, across(value), up.start + 10.5, "middle", SMALL, soft=True))
    for value in up.ticks():
        strokes.append(rule(across.start, up(value), across.end, up(value), 0.4, FAINT))
        text = tick_words(value, up.step, signed=False)
        words.append(Label(text, across.start - 3, up(value) + 2.3, "end", SMALL, soft=True))
    middle = (across.start + across.end) / 2
    words += [
        Label(figure.x, middle, high - 3, "middle", SMALL, soft=True, italic=True),
        Label(figure.y, 0, 7, size=SMALL, soft=True, italic=True),
    ]
    return strokes, words


def _with_aims(figure: Figure, ends: dict[str, XY], across: Scale, up: Scale) -> dict[str, XY]:
    """A name stands outside the further of aim and print: the aims come in the order of the curves."""
    aims = [line for line in figure.lines if line.drawn == "aim"]
    reads = [line for line in figure.lines if line.label]
    centre = (across(0), up(0))
    for aim, read in zip(aims, reads, strict=False):
        end = (across(aim.x[-1]), up(aim.y[-1]))
        ends[read.label] = max(ends[read.label], end, key=lambda at: math.dist(at, centre))
    return ends


def _rim_names(
    ends: dict[str, XY],
    centre: XY,
    strokes: list[str],
    words: list[Label],
    wide: float,
    high: float,
) -> list[Label]:
    """By hue angle, pushed apart along the rim; where boxes still meet the gap grows."""
    if not ends:
        return []
    names = sorted(ends, key=lambda name: _angle(ends[name], centre))
    angles = [_angle(ends[name], centre) for name in names]
    reach = [math.dist(ends[name], centre) for name in names]
    best: list[Label] = []
    gap = _GAP
    for _ in range(8):
        turned = list(angles)
        for _ in range(80):
            best = [
                _rim_name(name, centre, angle, far + gap, wide, high)
                for name, angle, far in zip(names, turned, reach, strict=True)
            ]
            if not _push(best, turned):
                return best
        gap *= 1.2
    return best if not overlaps(drawing(wide, high, (), best)) else list(_listed(names, wide, high))


def _push(placed: Sequence[Label], angles: list[float]) -> bool:
    """Turn names that meet away from each other; whether any did."""
    moved = False
    for k in range(len(placed)):
        for n in range(k + 1, len(placed)):
            if placed[k].box(1.15).meets(placed[n].box(1.15)):
                first, second = (k, n) if (angles[n] - angles[k]) % (2 * math.pi) < math.pi else (n, k)
                angles[first] -= 0.03
                angles[second] += 0.03
                moved = True
    return moved


def _angle(at: XY, centre: XY) -> float:
    return math.atan2(centre[1] - at[1], at[0] - centre[0])


def _rim_name(name: str, centre: XY, angle: float, far: float, wide: float, high: float) -> Label:
    x, y = centre[0] + far * math.cos(angle), centre[1] - far * math.sin(angle)
    lean = math.cos(angle)
    anchor = "start" if lean > 0.35 else "end" if lean < -0.35 else "middle"
    text = fitted(name, SIZE, wide / 2 - 4)
    placed = Label(text, x, y + 2.4 - 2.4 * math.sin(angle), anchor)  # type: ignore[arg-type]
    box = placed.box(1.15)
    off = max(0.0, -box.left) - max(0.0, box.right - wide)
    down = max(0.0, 2 - box.top) - max(0.0, box.bottom - high)
    return Label(text, placed.x + off, placed.y + down, placed.anchor)


def _listed(names: Sequence[str], wide: float, high: float) -> Iterator[Label]:
    """No room round the plane: the names in a corner, so that none is lost."""
    yield Label(fitted(", ".join(names), SIZE, wide - 2), 0, high - 3)


def _key(kinds: Sequence[str], high: float) -> Iterator[Label]:
    for k, kind in enumerate(kinds):
        yield Label(kind.removeprefix("read, "), 10, high + 8.4 + 9 * k, size=SMALL)
