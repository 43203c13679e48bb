"""How strong strong colours are, both ways: too weak and too dark count as much as too strong and too light.

Chroma and lightness are compared by their own terms of CIEDE2000 (ISO/CIE 11664-6; kL = kC = 1), whose
weights follow the eye: 12 C* less at C* 60 are 3.5, 6 L* less at L* 50 are 5.9. Where the aim lies inside the
gamut a colour is held against it, outside against the profile's own prediction: no print reaches more.
"""

from dataclasses import dataclass

import numpy as np

from evaluation.colorimetry.lab import chroma
from evaluation.metrics.cast import readings_themselves
from evaluation.metrics.evidence import Array, Evidence, Mask, Outcome, place

_TOLD = 90  # percentile that is graded


@dataclass(frozen=True, slots=True)
class Strength:
    """What is reported of strong colours and never graded.

    chroma    median C* of the readings over that of what they are held against, less 1: -0.08 is 8 % weaker
    lightness median dL*
    weakest   name of the ramp, or of the patch, with the least chroma in that sense, and how much; "" without
    given_up  median dC* from aim to expected of the patches outside the gamut; None without any
    outside   how many those are
    both_ways False: the gamut is not known, so weak colours are not judged
    """

    chroma: float
    lightness: float
    weakest: tuple[str, float]
    given_up: float | None
    outside: int
    both_ways: bool


def colour_strength(evidence: Evidence) -> Outcome | None:
    """90th percentile of how far strong colours lie off in chroma and lightness; the place is the furthest.

    Colours of C* above 15 (a limit). Where the gamut is not known only chroma above the aim counts: weak
    colours may be all that the paper holds.
    """
    held = _held_against(evidence)
    if held is None:
        return None
    rows, reference = held
    dC, dL = terms(reference, evidence.measured[..., rows, :])
    off = np.maximum(dC, 0.0) if evidence.inside is None else np.hypot(dC, dL)
    first = off.reshape(-1, off.shape[-1])[0]
    furthest = int(np.flatnonzero(rows)[int(first.argmax())])
    where = place(evidence.patches[furthest]) if first.max() > 0 else None
    return Outcome(np.asarray(np.percentile(off, _TOLD, axis=-1)), where, int(rows.sum()))


def terms(reference: Array, sample: Array) -> tuple[Array, Array]:
    """The chroma and the lightness term (...) of CIEDE2000 between CIELAB (..., 3), below 0 where the sample
    is weaker or darker.

    >>> dC, dL = terms(np.array([50.0, 60.0, 0.0]), np.array([44.0, 48.0, 0.0]))
    >>> round(float(dC), 3), round(float(dL), 3)
    (-3.499, -5.853)
    """
    C, Cr = chroma(sample), chroma(reference)
    dC: Array = (C - Cr) / (1 + 0.045 * (C + Cr) / 2)
    L, Lr = sample[..., 0], reference[..., 0]
    square = ((L + Lr) / 2 - 50) ** 2
    dL: Array = (L - Lr) / (1 + 0.015 * square / np.sqrt(20 + square))
    return dC, dL


def strength(evidence: Evidence) -> Strength | None:
    """What is reported of strong colours; None where there is nothing to compare them with."""
    held = _held_against(evidence)
    if held is None:
        return None
    rows, reference = held
    first = readings_themselves(evidence.measured)
    share = chroma(first[rows]) / chroma(reference) - 1
    families: dict[str, list[float]] = {}
    for row, own in zip(np.flatnonzero(rows), share.tolist(), strict=True):
        patch = evidence.patches[int(row)]
        families.setdefault(patch.series or place(patch), []).append(own)
    weakest = min(((name, float(np.median(own))) for name, own in families.items()), key=lambda one: one[1])
    given_up, outside = None, 0
    if evidence.inside is not None and evidence.predicted is not None:
        aim = evidence.aim if evidence.source_aim is None else evidence.source_aim
        beyond = (
            ~evidence.inside & np.isfinite(aim).all(axis=-1) & np.isfinite(evidence.predicted).all(axis=-1)
        )
        outside = int(beyond.sum())
        if outside:
            given_up = float(np.median(chroma(evidence.predicted[beyond]) - chroma(aim[beyond])))
    return Strength(
        float(np.median(share)),
        float(np.median(first[rows][:, 0] - reference[:, 0])),
        weakest,
        given_up,
        outside,
        evidence.inside is not None,
    )


def _held_against(evidence: Evidence) -> tuple[Mask, Array] | None:
    """(n,) the strong patches, and what those are held against (k, 3); None where nothing is aimed at."""
    if not evidence.colour_has_aim:
        return None
    reference = evidence.aim
    if evidence.inside is not None and evidence.predicted is not None:
        reference = np.where(evidence.inside[:, None], reference, evidence.predicted)
    strong: Mask = np.asarray(np.isfinite(reference).all(axis=-1))
    strong[strong] = chroma(reference[strong]) > evidence.limits.hue_least_chroma
    return (strong, reference[strong]) if strong.any() else None
