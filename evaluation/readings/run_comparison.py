"""Two runs of the same patches compared: has the machine, the ink or the instrument moved between them?"""

from dataclasses import dataclass
from math import ceil, sqrt
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_76, delta_e_2000
from evaluation.readings.colours import colours
from evaluation.readings.repeat_limits import (
    DARK_BELOW,
    NoiseLimit,
    limit_from,
    repeats,
    repeats_by_lightness,
)
from evaluation.readings.run import Array, Run

_DIGITS: Final = 4  # device values are compared as written to four digits
_ABOVE: Final = 0.05  # share of single differences that noise alone puts above their limit
_MANY: Final = 1000  # patches beyond which a normal distribution will do


@dataclass(frozen=True, slots=True, eq=False)
class RunComparison:
    """The second run minus the first, over the n patches that both hold, their readings averaged.

    Attributes
    ----------
    patches
        The name, else the id, of each patch in the second run.
    shift : (n, 3)
        dL*, da*, db*.
    de_2000 : (n,)
        CIEDE2000 under its reference conditions, kL = kC = kH = 1; `mean`, `p95` and `largest` are of these.
    bias : (3,)
        Mean shift: what all patches did together.
    worst
        The patch of the largest dE00.
    limit
        The dE*ab that noise alone explains, from the repeats of both runs; None without repeats.
    limit_dark
        That of patches below L* 50 where their repeats spread differently; `limit` is then of the light ones.
    beyond
        How many patches lie above their limit; None without repeats.
    joined_by
        "device values", "id" or "name".
    only_first, only_second
        How many patches the other run lacks.
    remarks
        Circumstances of the measurement that differ.
    """

    patches: tuple[str, ...]
    shift: Array
    de_2000: Array
    bias: Array
    mean: float
    p95: float
    largest: float
    worst: str
    limit: NoiseLimit | None
    limit_dark: NoiseLimit | None
    beyond: int | None
    joined_by: str
    only_first: int
    only_second: int
    remarks: tuple[str, ...]

    @property
    def apart(self) -> bool | None:
        """Whether more patches lie above their limit than noise alone puts there; None without repeats."""
        return None if self.beyond is None else self.beyond > most_by_chance(len(self.patches))


def most_by_chance(patches: int) -> int:
    """The most of `patches` that noise alone puts above their limit in 95 of 100 comparisons."""
    if patches > _MANY:
        return ceil(_ABOVE * patches + 1.645 * sqrt(patches * _ABOVE * (1 - _ABOVE)))
    chance = total = (1 - _ABOVE) ** patches
    count = 0
    while total < 0.95:  # binomial, term by term
        chance *= (patches - count) / (count + 1) * _ABOVE / (1 - _ABOVE)
        count += 1
        total += chance
    return count


def compare_runs(first: Run, second: Run) -> RunComparison | None:
    """Two runs patch by patch, joined by device values where both hold them, else by id, else by name.

    None when they share no patch. Raises FileProblem when one of them holds no usable colour.
    """
    for joined_by, keys in _ways(first, second):
        in_first, in_second = _groups(keys[0]), _groups(keys[1])
        shared = [key for key in in_second if key in in_first]
        if shared:
            return _compared(first, second, joined_by, in_first, in_second, shared)
    return None


Groups = dict[object, tuple[int, ...]]


def _ways(first: Run, second: Run) -> list[tuple[str, tuple[list[object], list[object]]]]:
    ways: list[tuple[str, tuple[list[object], list[object]]]] = []
    if first.device is not None and second.device is not None and first.device_space == second.device_space:
        ways.append(("device values", (_values(first.device), _values(second.device))))
    ways.append(("id", ([ref.id for ref in first.patches], [ref.id for ref in second.patches])))
    ways.append(("name", ([ref.name for ref in first.patches], [ref.name for ref in second.patches])))
    return ways


def _values(device: Array) -> list[object]:
    return [tuple(row) for row in np.round(device, _DIGITS).tolist()]


def _groups(keys: list[object]) -> Groups:
    rows: dict[object, list[int]] = {}
    for row, key in enumerate(keys):
        if key != "":
            rows.setdefault(key, []).append(row)
    return {key: tuple(found) for key, found in rows.items()}


def _compared(
    first: Run, second: Run, joined_by: str, in_first: Groups, in_second: Groups, shared: list[object]
) -> RunComparison:
    lab_first, lab_second = colours(first).lab_d50, colours(second).lab_d50
    before = np.array([lab_first[list(in_first[key])].mean(axis=0) for key in shared])
    after = np.array([lab_second[list(in_second[key])].mean(axis=0) for key in shared])
    de_2000 = delta_e_2000(before, after)
    both = np.concatenate((lab_first, lab_second))
    later = [tuple(row + len(first) for row in rows) for rows in in_second.values()]
    groups = [*in_first.values(), *later]
    by_lightness = repeats_by_lightness(both, groups)
    dark, light = map(limit_from, by_lightness) if by_lightness else (None, limit_from(repeats(both, groups)))
    beyond = None
    if light is not None:
        limits = np.where(before[:, 0] < DARK_BELOW, (dark or light).value, light.value)
        beyond = int((delta_e_76(before, after) > limits).sum())
    named = tuple(_name(second, in_second[key][0]) for key in shared)
    return RunComparison(
        patches=named,
        shift=after - before,
        de_2000=de_2000,
        bias=(after - before).mean(axis=0),
        mean=float(de_2000.mean()),
        p95=float(np.percentile(de_2000, 95)),
        largest=float(de_2000.max()),
        worst=named[int(de_2000.argmax())],
        limit=light,
        limit_dark=dark,
        beyond=beyond,
        joined_by=joined_by,
        only_first=len(in_first) - len(shared),
        only_second=len(in_second) - len(shared),
        remarks=_remarks(first, second),
    )


def _name(run: Run, row: int) -> str:
    return run.patches[row].name or run.patches[row].id


def _remarks(first: Run, second: Run) -> tuple[str, ...]:
    remarks = []
    for what in ("condition", "backing", "geometry", "instrument"):
        one, other = getattr(first.stated, what), getattr(second.stated, what)
        if one and other and one != other:
            remarks.append(f"{what} differs: {one} and {other}")
    return tuple(remarks)
