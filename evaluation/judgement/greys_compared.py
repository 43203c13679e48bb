"""The greys of two prints compared: what differs beyond the repeats of both, row by row.

Casts are compared as each print's departure from its own neutral aim, third by third; the rows of one pair
are one family for Holm's correction. Printing modes are compared at the level "another sheet": what sheets
add is the default of the tables, and it moves all steps together.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000_equal_l
from evaluation.colorimetry.inconstancy import differential_shift
from evaluation.judgement.greys import NeutralityRecord, Third
from evaluation.judgement.repeatability import holm_adjusted, isotropic, root
from evaluation.judgement.tables import Tables
from evaluation.judgement.two_prints import Word
from evaluation.metrics.cast import counted, shifts_from_grey, thirds
from evaluation.metrics.evidence import Array, Evidence
from evaluation.session import THIRDS

LIGHTS: Final = "lights"
BLACK: Final = "black"
_SEED: Final = 1979


@dataclass(frozen=True, slots=True)
class GreyDifference:
    """One thing of two prints: a third's cast, the shift along the scale, the black.

    what        "dark", "middle" and "light" (a third), "lights" or "black"
    a, b        dE00 at equal L* of the third; largest dCh under the worst judged light; D-max
    difference  dCh between the casts of the third; otherwise b minus a
    """

    what: str
    a: float
    b: float
    difference: float
    word: Word
    reason: str = ""

    @property
    def beyond(self) -> bool:
        """Whether repeats do not explain the difference."""
        return self.word in ("measured", "large")


@dataclass(frozen=True, slots=True)
class GreysCompared:
    """Print b against print a. `reason`: why nothing of them can be compared, or ""."""

    a: int
    b: int
    rows: tuple[GreyDifference, ...]
    reason: str = ""

    def row(self, what: str) -> GreyDifference | None:
        """The row of that name; None where it could not be compared."""
        return next((row for row in self.rows if row.what == what), None)

    @property
    def casts(self) -> tuple[GreyDifference, ...]:
        """The rows of the thirds."""
        return tuple(row for row in self.rows if row.what in THIRDS)


@dataclass(frozen=True, slots=True)
class _Cell:
    what: str
    a: float
    b: float
    difference: float
    p: float
    large: bool


def beside(a: NeutralityRecord, b: NeutralityRecord, tables: Tables) -> GreysCompared:
    """What differs between the greys of two prints beyond the repeats of both: print b against print a."""
    if reason := _apart(a, b):
        return GreysCompared(a.session, b.session, (), reason)
    found = [_third(a, b, name, tables) for name in reversed(THIRDS)]
    cells = [cell for cell in (*found, _lights(a, b, tables), _black(a, b, tables)) if cell is not None]
    rows = [
        GreyDifference(
            cell.what,
            cell.a,
            cell.b,
            cell.difference,
            "alike" if p > tables["level"] else "large" if cell.large else "measured",
        )
        for cell, p in zip(cells, holm_adjusted([cell.p for cell in cells]), strict=True)
    ]
    return GreysCompared(a.session, b.session, tuple(rows))


def worst_third(record: NeutralityRecord) -> Third | None:
    """The third that lies furthest from the aim: what modes are ranked by."""
    return max(record.thirds.values(), key=lambda third: third.de00, default=None)


def ranked(records: Mapping[int, NeutralityRecord]) -> tuple[int, ...]:
    """Sessions by dE00 of their worst third, the most neutral first; those without a third come last."""

    def worst(session: int) -> float:
        third = worst_third(records[session])
        return float("inf") if third is None else third.de00

    return tuple(sorted(records, key=worst))


def _apart(a: NeutralityRecord, b: NeutralityRecord) -> str:
    """Why two records cannot be compared; empty where they can."""
    if a.condition != b.condition:
        if None in (a.condition, b.condition):
            return "measurement condition not stated"
        return f"{a.condition} against {b.condition}"
    if a.instrument and b.instrument and a.instrument != b.instrument:
        return "read with another instrument"
    if a.aim != b.aim:
        return f"another aim: {a.aim} and {b.aim}"
    return ""


def _third(a: NeutralityRecord, b: NeutralityRecord, name: str, tables: Tables) -> _Cell | None:
    """The casts of one third, step against step; the third is that of the first print."""
    rows = _shared(a.scale, b.scale, THIRDS.index(name))
    if not rows or name not in a.thirds or name not in b.thirds:
        return None
    one, other = (list(part) for part in zip(*rows, strict=True))
    first, second = shifts_from_grey(a.scale)[one], shifts_from_grey(b.scale)[other]
    gap = second.mean(axis=0) - first.mean(axis=0)
    distance = float(np.hypot(*gap))
    null = np.linalg.norm(_drawn(_mean_covariance(a.scale, one, b.scale, other, tables), tables), axis=1)
    # As the second print's cast would look on the first.
    aims = np.column_stack([a.scale.absolute[one, 0], a.scale.grey_aim[one] + first])
    seen = np.column_stack([a.scale.absolute[one, 0], a.scale.grey_aim[one] + second])
    apart = float(delta_e_2000_equal_l(aims, seen).mean())
    return _Cell(
        name,
        a.thirds[name].de00,
        b.thirds[name].de00,
        distance,
        _share(null, distance),
        apart > tables.anchors["cast_by_third"].at[1],
    )


def _lights(a: NeutralityRecord, b: NeutralityRecord, tables: Tables) -> _Cell | None:
    """The shift along the scale, each print under the worst of its judged lights."""
    if a.worst_light is None or b.worst_light is None:
        return None
    one, other = a.lights[a.worst_light].largest, b.lights[b.worst_light].largest
    rng = np.random.default_rng(_SEED)
    null = _noise_of_shift(a, a.worst_light, rng, tables) - _noise_of_shift(b, b.worst_light, rng, tables)
    anchor = tables.anchors["light_shift_differential"]
    grades = anchor.grade([one, other])
    return _Cell(
        LIGHTS,
        one,
        other,
        other - one,
        _share(np.abs(null), abs(other - one)),
        bool(abs(grades[0] - grades[1]) >= tables["grade_apart"]),
    )


def _noise_of_shift(record: NeutralityRecord, light: str, rng: np.random.Generator, tables: Tables) -> Array:
    """(draws,) what reading again would do to the largest shift; both legs are read, each with its noise."""
    scale = record.scale
    rows = np.flatnonzero(counted(scale) & np.isfinite(scale.shifts[light]).all(axis=-1))
    spread = root(2 * scale.covariance[rows, 1:, 1:] / scale.counts[rows, None, None])
    noise = rng.standard_normal((int(tables["modes_light_draws"]), len(rows), 2))
    drawn = scale.shifts[light][rows] + np.einsum("dnj,nkj->dnk", noise, spread)
    largest, _ = differential_shift(np.concatenate([np.zeros((*drawn.shape[:-1], 1)), drawn], axis=-1))
    return largest - np.median(largest)


def _black(a: NeutralityRecord, b: NeutralityRecord, tables: Tables) -> _Cell | None:
    """D-max: a fact, never graded and so never called large."""
    if a.black is None or b.black is None or a.black.basis != b.black.basis:
        return None
    sheet = float(isotropic(tables["sheet_mean"])[0, 0])
    variance = 0.0
    for record, black in ((a, a.black), (b, b.black)):
        read = float(record.scale.covariance[:, 0, 0].mean())
        more = max(0.0, sheet - read) / max(read, 1e-9)
        variance += black.d_spread**2 * (1 + more)
    gap = b.black.d_max - a.black.d_max
    null = np.abs(np.random.default_rng(_SEED).standard_normal(int(tables["modes_draws"]))) * np.sqrt(
        variance
    )
    return _Cell(BLACK, a.black.d_max, b.black.d_max, gap, _share(null, abs(gap)), False)


def _shared(a: Evidence, b: Evidence, third: int) -> list[tuple[int, int]]:
    """Rows of the steps of one third that count in both prints."""
    row = {patch.id: k for k, patch in enumerate(b.patches)}
    first, second, part = counted(a), counted(b), thirds(a)
    return [
        (k, row[patch.id])
        for k, patch in enumerate(a.patches)
        if first[k] and part[k] == third and patch.id in row and second[row[patch.id]]
    ]


def _mean_covariance(a: Evidence, one: list[int], b: Evidence, other: list[int], tables: Tables) -> Array:
    """(2, 2) covariance of the difference of two thirds' mean casts.

    Reading noise of the steps averages out; that of the bare paper, and what another sheet adds, does not.
    """
    default = isotropic(tables["sheet_mean"])
    found = np.zeros((3, 3))
    for evidence, rows in ((a, one), (b, other)):
        read = evidence.covariance[rows]
        found += (read / evidence.counts[rows, None, None]).sum(axis=0) / len(rows) ** 2
        found += evidence.paper_covariance / max(evidence.paper_readings, 1)
        more = root(default - read.mean(axis=0))
        found += more @ more.T
    return np.asarray(found[1:, 1:])


def _drawn(covariance: Array, tables: Tables) -> Array:
    drawn = np.random.default_rng(_SEED).standard_normal((int(tables["modes_draws"]), 2))
    return drawn @ root(covariance).T


def _share(null: Array, observed: float) -> float:
    return (1 + float((null >= observed - 1e-12).sum())) / (1 + null.size)
