"""Scales of a figure: ranges that end on round numbers, and the places of their ticks."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Scale:
    """From numbers to points: `low` lies at `start`, `high` at `end`."""

    low: float
    high: float
    start: float
    end: float
    step: float

    def __call__(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def ticks(self) -> list[float]:
        first = math.ceil(self.low / self.step - 1e-9)
        last = math.floor(self.high / self.step + 1e-9)
        return [k * self.step for k in range(first, last + 1)]


def scale(values: Iterable[float], fixed: tuple[float, float] | None, start: float, end: float) -> Scale:
    """A scale that holds all values; `fixed` as it is where they fit into it, else on from there."""
    found = [*values, *(fixed or ())]
    low, high = (min(found), max(found)) if found else (0.0, 1.0)
    if high - low < 1e-9:
        low, high = low - 1, high + 1
    step = _step(high - low, most=6)
    if fixed is None or (low, high) != fixed:
        low, high = math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step
    return Scale(low, high, start, end, step)


def _step(span: float, most: int) -> float:
    size = 10.0 ** math.floor(math.log10(span / most))
    return next(size * each for each in _STEPS if span / (size * each) <= most + 1e-9)


def tick_words(value: float, step: float, *, signed: bool) -> str:
    """A number of an axis, with a true minus; with a plus where the axis says how far from an aim.

    >>> tick_words(-1.0, 1.0, signed=True), tick_words(2.5, 2.5, signed=True)
    ('−1', '+2.5')
    """
    digits = next(n for n in range(6) if n == 5 or abs(step * 10**n - round(step * 10**n)) < 1e-6)
    text = f"{abs(value):.{digits}f}"
    if not text.strip("0."):
        return "0"
    return ("−" if value < 0 else "+" if signed else "") + text


def pushed(wanted: Sequence[float], apart: float, low: float, high: float) -> list[float]:
    """Places near the wanted ones, in their order, `apart` from each other, moved as little as can be.

    Neighbours that are too close are pooled and laid about their mean; then all are kept within the limits
    where they have room.

    >>> pushed([10, 11, 40], 8, 0, 100)
    [6.5, 14.5, 40]
    """
    order = sorted(range(len(wanted)), key=lambda k: wanted[k])
    pools: list[list[float]] = []  # mean, how many
    for k in order:
        pools.append([wanted[k], 1])
        while len(pools) > 1 and pools[-1][0] - pools[-2][0] < (pools[-1][1] + pools[-2][1]) / 2 * apart:
            mean, many = pools.pop()
            before, count = pools.pop()
            pools.append([(before * count + mean * many) / (count + many), count + many])
    laid = [mean + (k - (many - 1) / 2) * apart for mean, many in pools for k in range(int(many))]
    for k, place in enumerate(laid):
        laid[k] = max(place, low + k * apart)
    for k in range(len(laid)):
        laid[-1 - k] = min(laid[-1 - k], high - k * apart)
    found = [0.0] * len(wanted)
    for k, place in zip(order, laid, strict=True):
        found[k] = place
    return found
