"""Rows that look swapped, shifted or misread: pointed out with their names, never dropped.

A smooth curve fitted through all rows predicts the colour of each from what was printed there. Rows far from
it are compared with the predictions of other rows: two that fit in each other's place look swapped, a stretch
that fits its neighbours looks shifted, the rest look misread.
"""

from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.difference import delta_e_76
from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.plain_text import visible
from evaluation.published.limits import limit, whole
from evaluation.readings.run import Array, Run

_FAR: Final = limit("odd_row_far")
_FAR_SPREADS: Final = limit("odd_row_spreads")
_FITS: Final = limit("odd_row_fits")
_LEAST_STRETCH: Final = whole("odd_row_stretch")
_SHIFTS: Final = (1, -1, 2, -2)
_LEAST_ROWS: Final = whole("odd_row_least")
_ROWS_PER_TERM: Final = 3
_NEIGHBOURS: Final = 6
_PER_DISTANCE: Final = limit("odd_row_lonely")
_MOST_ROWS: Final = whole("odd_row_most")
_ROUNDS: Final = 20
_STEADY: Final = 1e-4  # change of the largest weight, of 0.3 at most, that ends the rounds
_MISMATCH: Final = limit("odd_row_mismatch")


@dataclass(frozen=True, slots=True)
class SuspectRow:
    """Rows, by their indices, that look wrong, and why, as a sentence."""

    kind: Literal["swapped", "shifted", "misread", "contradicts"]
    rows: tuple[int, ...]
    sentence: str


def suspect_rows(run: Run, lab: Array, printed: Array | None) -> tuple[SuspectRow, ...]:
    """Rows whose colour does not fit what was printed there, or whose CIELAB contradicts their spectrum.

    Parameters
    ----------
    run
        The readings.
    lab : (n, 3)
        Their CIELAB for D50.
    printed : (n, k) or None
        What each row was printed from: device or source values 0..1, or aims in CIELAB; nan where not known.

    Returns
    -------
    One entry per finding; fewer than 16 known rows give no curve and no finding from it.
    """
    found = list(_contradictions(run, lab))
    if printed is None:
        return tuple(found)
    known = np.flatnonzero(np.isfinite(printed).all(axis=1) & np.isfinite(lab).all(axis=1))
    if len(known) < _LEAST_ROWS:
        return tuple(found)
    colours = _as_colours(printed[known])
    isolation, nearest = _neighbours(colours)
    predicted = _curve(colours, lab[known], isolation)
    if predicted is None:
        return tuple(found)
    distance = delta_e_76(predicted, lab[known])
    usual = 1.4826 * float(np.median(distance))
    limit = max(_FAR, _FAR_SPREADS * usual)
    # Where the curve is wrong for a whole corner of colours, the nearest ones share its error.
    residual = lab[known] - predicted
    local = np.linalg.norm(residual - np.median(residual[nearest], axis=1), axis=1)
    allowed = limit + _PER_DISTANCE * isolation
    far = [int(place) for place in np.flatnonzero((distance > limit) & (local > allowed))]
    left = set(far)
    for places, shift in _stretches(far, predicted, lab[known], distance):
        left -= set(places)
        rows = tuple(int(known[place]) for place in places)
        found.append(SuspectRow("shifted", rows, _shifted(run, rows, shift)))
    swaps = _swaps(sorted(left), predicted, lab[known], distance)
    left -= {place for pair in swaps for place in pair}
    found += _swapped(run, [(int(known[one]), int(known[other])) for one, other in swaps])
    for place in sorted(left):
        row = int(known[place])
        sentence = (
            f"{_name(run, row)} looks misread: {distance[place]:.0f} dE*ab from what its neighbours suggest"
        )
        found.append(SuspectRow("misread", (row,), sentence))
    return tuple(found)


def _contradictions(run: Run, lab: Array) -> list[SuspectRow]:
    if run.lab is None or run.spectra is None:
        return []
    if run.stated.illuminant not in (None, "D50") or run.stated.observer not in (None, "2"):
        return []
    apart = delta_e_76(lab, run.lab)
    if float(np.median(apart)) > _MISMATCH:
        everywhere = tuple(range(len(run)))
        sentence = (
            f"CIELAB and spectra of the file differ by {np.median(apart):.1f} dE*ab; the spectra were used"
        )
        return [SuspectRow("contradicts", everywhere, sentence)]
    rows = np.flatnonzero(apart > _MISMATCH)
    return [
        SuspectRow("contradicts", (int(row),), f"{_name(run, int(row))}: CIELAB and spectrum disagree")
        for row in rows
    ]


def _as_colours(printed: Array) -> Array:
    """What was printed, as colours as far as its values allow, each axis about as wide as L* / 100.

    RGB of any encoding is taken as sRGB, and aims are CIELAB: a print follows these far more evenly than it
    does the values themselves. Other channels stay as they are.
    """
    if printed.shape[1] != 3:
        return printed
    if printed.min() >= -0.01 and printed.max() <= 1.01:
        return lab_from_xyz(xyz_from_rgb(np.clip(printed, 0.0, 1.0), "srgb")) / 100
    return printed / 100


def _neighbours(colours: Array) -> tuple[Array, NDArray[np.int64]]:
    """The mean distance of each row from its nearest other rows (n,), and the indices of these (n, k)."""
    among = np.arange(0, len(colours), 1 + len(colours) // _MOST_ROWS)
    isolation, nearest = np.empty(len(colours)), np.empty((len(colours), _NEIGHBOURS), np.int64)
    for block in np.array_split(np.arange(len(colours)), 1 + len(colours) // 200):
        apart = np.sqrt(
            np.maximum(
                (colours[block] ** 2).sum(axis=1)[:, None]
                + (colours[among] ** 2).sum(axis=1)
                - 2 * colours[block] @ colours[among].T,
                0.0,
            )
        )
        apart[block[:, None] == among[None]] = np.inf  # no row is its own neighbour
        closest = np.argpartition(apart, _NEIGHBOURS, axis=1)[:, :_NEIGHBOURS]
        nearest[block] = among[closest]
        isolation[block] = np.take_along_axis(apart, closest, axis=1).mean(axis=1)
    return isolation, nearest


def _curve(colours: Array, lab: Array, isolation: Array) -> Array | None:
    """(n, 3) the colours predicted by a polynomial, fitted so that outliers hardly count; None for few rows.

    Crowded rows share their weight, so that many greys and pastels do not outvote the strong colours.
    """
    for degree in (3, 2, 1):
        terms = _terms(colours, degree)
        if len(lab) >= _ROWS_PER_TERM * terms.shape[1] + 4:
            break
    else:
        return None
    spread = np.clip(isolation, 0.02, 0.3)
    weights = spread
    predicted = lab
    ridge = 1e-9 * np.eye(terms.shape[1])  # terms lie within 0..1: it only keeps equal columns solvable
    for _ in range(_ROUNDS):
        weighted = terms * weights[:, None]
        solution = np.linalg.solve(weighted.T @ terms + ridge, weighted.T @ lab)
        predicted = terms @ solution
        distance = np.linalg.norm(lab - predicted, axis=1)
        # Isolated rows may lie further off than crowded ones.
        scale = max(1.4826 * float(np.median(distance)), 0.5) * (1 + spread / 0.05)
        weights = np.where(distance < 4.685 * scale, (1 - (distance / (4.685 * scale)) ** 2) ** 2, 0.0)
        before, weights = weights, np.maximum(weights, 1e-6) * spread
        if np.abs(weights - before).max() < _STEADY:
            break
    return np.asarray(predicted)


def _terms(printed: Array, degree: int) -> Array:
    span = np.ptp(printed, axis=0)
    scaled = (printed - printed.min(axis=0)) / np.where(span > 0, span, 1.0)
    channels = [scaled[:, place] for place in range(scaled.shape[1]) if span[place] > 0]
    columns = [np.ones(len(printed))]
    for power in range(1, degree + 1):
        columns += [np.prod(chosen, axis=0) for chosen in combinations_with_replacement(channels, power)]
    return np.column_stack(columns)


def _stretches(
    far: list[int], predicted: Array, lab: Array, distance: Array
) -> list[tuple[tuple[int, ...], int]]:
    """Stretches of far rows, and by how many places they fit the rows before or after them."""
    found: list[tuple[tuple[int, ...], int]] = []
    taken: set[int] = set()
    for shift in _SHIFTS:
        fitting = [
            place
            for place in far
            if place not in taken
            and 0 <= place + shift < len(lab)
            and float(delta_e_76(predicted[place + shift], lab[place])) < _FITS * distance[place]
        ]
        for stretch in _consecutive(fitting):
            if len(stretch) >= _LEAST_STRETCH:
                found.append((tuple(stretch), shift))
                taken |= set(stretch)
    return found


def _consecutive(places: list[int]) -> list[list[int]]:
    stretches: list[list[int]] = []
    for place in places:
        # A row that happens to look like its neighbour may lie between.
        if stretches and place - stretches[-1][-1] <= 2:
            stretches[-1].append(place)
        else:
            stretches.append([place])
    return stretches


def _swaps(far: list[int], predicted: Array, lab: Array, distance: Array) -> list[tuple[int, int]]:
    """Pairs of far rows that fit in each other's place, the best first, each row once."""
    pairs = []
    for at, one in enumerate(far):
        for other in far[at + 1 :]:
            there = float(delta_e_76(predicted[other], lab[one])) / distance[one]
            here = float(delta_e_76(predicted[one], lab[other])) / distance[other]
            if max(there, here) < _FITS:
                pairs.append((max(there, here), one, other))
    chosen: list[tuple[int, int]] = []
    used: set[int] = set()
    for _, one, other in sorted(pairs):
        if not used & {one, other}:
            chosen.append((one, other))
            used |= {one, other}
    return chosen


def _swapped(run: Run, pairs: list[tuple[int, int]]) -> list[SuspectRow]:
    """One finding for each pair; one for all pairs of two strips, where the file says which lie in one."""
    of_strips: dict[tuple[str, str], list[tuple[int, int]]] = {}
    for pair in pairs:
        one, other = sorted(pair)
        strips = run.patches[one].strip, run.patches[other].strip
        of_strips.setdefault(strips, []).append((one, other))
    found = []
    for (first, second), swaps in of_strips.items():
        if len(swaps) >= _LEAST_STRETCH and first and second and first != second:
            rows = tuple(row for pair in swaps for row in pair)
            sentence = (
                f"strips look swapped: {visible(first)} and {visible(second)}, {len(swaps)} patches each"
            )
            found.append(SuspectRow("swapped", rows, sentence))
            continue
        for one, other in swaps:
            sentence = f"{_name(run, one)} and {_name(run, other)} look swapped"
            found.append(SuspectRow("swapped", (one, other), sentence))
    return found


def _shifted(run: Run, rows: tuple[int, ...], shift: int) -> str:
    where = f"{_name(run, rows[0])} to {_name(run, rows[-1])}"
    direction = "after" if shift > 0 else "before"
    count = "the one" if abs(shift) == 1 else f"those {abs(shift)} places"
    return f"{where} look shifted: each reads like {count} {direction} it"


def _name(run: Run, row: int) -> str:
    return visible(run.patches[row].name or run.patches[row].id)
