"""What several clues are taken from: the print step, casts of thirds, solids. None: not known."""

from typing import Final

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import chroma
from evaluation.judgement.clues.facts import Clues
from evaluation.metrics.cast import counted
from evaluation.metrics.evidence import Array, Evidence, Mask
from evaluation.metrics.gather import chosen
from evaluation.metrics.grey_metrics import third_shifts

GREY_KINDS: Final = ("neutral", "mono_neutral")


def print_step(clues: Clues) -> tuple[Mask, Array, Array] | None:
    """What the printing added: the departure of the readings from the reference.

    Returns (n,) which patches are known and inside the gamut, their (k, 3) departure in CIELAB, and its (k,)
    dE00. None with fewer than `patches_compared`. Without a profile the reach of the gamut is not known, so
    only muted colours (`muted_chroma`) count.
    """
    if clues.evidence is None or clues.reference is None:
        return None
    known: Mask = np.asarray(np.isfinite(clues.reference).all(axis=-1))
    if clues.evidence.inside is not None:
        known = known & clues.evidence.inside
    elif clues.evidence.predicted is None:
        known = known & (chroma(np.nan_to_num(clues.reference)) < clues.tables["muted_chroma"])
    if known.sum() < clues.tables["patches_compared"]:
        return None
    aim, measured = clues.reference[known], clues.evidence.measured[known]
    return known, measured - aim, delta_e_2000(aim, measured)


def only(clues: Clues, rows: Mask) -> Evidence | None:
    """The evidence of some patches alone; None where there are none."""
    if clues.evidence is None or not rows.any():
        return None
    return chosen(clues.evidence, np.flatnonzero(rows).tolist())


def third_casts(clues: Clues) -> dict[int, Array] | None:
    """Mean (da*, db*) of each third of the greys: 0 shadows, 1 mid-tones, 2 highlights."""
    if clues.evidence is None or not clues.evidence.cast_has_aim:
        return None
    own = only(clues, clues.rows(*GREY_KINDS))
    if own is None or not counted(own).any():
        return None
    means, _, present = third_shifts(own)
    return {t: means[index] for index, t in enumerate(present)}


def length(shift: Array) -> float:
    """Length of a shift (da*, db*): dCh."""
    return float(np.hypot(*shift))


def solids(clues: Clues) -> tuple[Array, Array] | None:
    """Reference and measured (k, 3) of the strongest patch of each ramp, inside the gamut.

    None where neither gamut nor profile is known, since a strong colour of the file may be out of reach, and
    with fewer than `solids_least`.
    """
    own = only(clues, clues.rows("saturation"))
    if own is None or clues.reference is None or (own.inside is None and own.predicted is None):
        return None
    reference = own.aim if own.predicted is None else own.predicted
    strongest: dict[str, int] = {}
    for k, patch in enumerate(own.patches):
        usable = np.isfinite(reference[k]).all() and (own.inside is None or own.inside[k])
        name = patch.series or patch.id
        if usable and (name not in strongest or chroma(reference[k]) > chroma(reference[strongest[name]])):
            strongest[name] = k
    rows = [k for k in strongest.values() if chroma(reference[k]) > own.limits.hue_least_chroma]
    if len(rows) < clues.tables["solids_least"]:
        return None
    return reference[rows], own.measured[rows]


def solid_ratios(clues: Clues) -> Array | None:
    """(k,) measured over expected chroma of the solids."""
    found = solids(clues)
    return None if found is None else np.asarray(chroma(found[1]) / chroma(found[0]))


def beyond_sheets(clues: Clues, worst: float) -> bool:
    """Whether the `worst` dE*ab of any patch exceeds what sheets differ by (`sheet_worst`).

    What the largest of so many readings differs by from noise alone is taken off first (`sheet_noise`).
    """
    limit = clues.tables["sheet_worst"]
    if clues.evidence is not None:
        n = max(len(clues.evidence.patches), 2)
        noise = clues.evidence.reading_noise / np.sqrt(3)
        # Of n lengths of three normal axes the largest is about this many standard deviations.
        largest = noise * (np.sqrt(2 * np.log(n)) + 1 / np.sqrt(2))
        limit = np.sqrt(limit**2 - min(largest, clues.tables["sheet_noise"] * limit) ** 2)
    return bool(worst > limit)
