"""Strong colours: where ramps stop growing or change hue.

Hue is compared in IPT (Ebner and Fairchild 1998), whose lines of constant hue follow the eye: in CIELAB a
blue ramp that looks constant turns by up to 31 degrees, and a sound print would seem to turn violet.
"""

import numpy as np

from evaluation.colorimetry.difference import delta_e_76
from evaluation.colorimetry.lab import chroma
from evaluation.metrics.evidence import Array, Evidence, Mask, Outcome, largest
from evaluation.metrics.tone import ramps


def collapse_step(evidence: Evidence) -> Outcome | None:
    """Share of a ramp that is lost, mean over the ramps.

    A ramp is lost from the step from which on all neighbours are closer than a quarter (a limit) of their
    aimed distance. Distances are dE*ab, not dC* alone, since a ramp clips in L* too. Pairs whose aim lies
    outside the gamut, or whose aimed distance is below the noise, do not count.
    """
    noise = evidence.limits.noise_times * evidence.reading_noise
    lost_by_ramp: list[Array] = []
    worst, where, count = 0.0, None, 0
    for name, order in ramps(evidence, 3):
        aimed = delta_e_76(evidence.aim[order[:-1]], evidence.aim[order[1:]])
        measured = delta_e_76(evidence.measured[..., order[:-1], :], evidence.measured[..., order[1:], :])
        counts = aimed > noise
        if evidence.inside is not None:
            counts &= evidence.inside[order[:-1]] & evidence.inside[order[1:]]
        if not counts.any():
            continue
        near: Mask = (measured < evidence.limits.collapse_share * aimed)[..., counts]
        tail: Mask = np.logical_and.accumulate(near[..., ::-1], axis=-1)[..., ::-1]
        lost = tail.sum(axis=-1) / near.shape[-1]
        lost_by_ramp.append(lost)
        count += len(np.union1d(order[:-1][counts], order[1:][counts]))
        if float(lost.flat[0]) > worst:
            at = int(np.flatnonzero(counts)[int(tail.reshape(-1, tail.shape[-1])[0].argmax())]) + 1
            worst, where = float(lost.flat[0]), f"{name} from step {evidence.patches[int(order[at])].step}"
    if not lost_by_ramp:
        return None
    return Outcome(np.mean(lost_by_ramp, axis=0), where, count)


def hue_turn(evidence: Evidence) -> Outcome | None:
    """90th percentile of the turn of hue from the aim, degrees in IPT, of aims with C* above 15 (a limit)."""
    turn = _turn(evidence)
    if turn is None:
        return None
    known, degrees = turn
    return Outcome(_percentile_90(degrees), largest(evidence, known, degrees), int(known.sum()))


def gradient_hue_drift(evidence: Evidence) -> Outcome | None:
    """Largest turn of hue along the gradients, degrees in IPT, of aims with C* above 15 (a limit)."""
    turn = _turn(evidence)
    if turn is None:
        return None
    known, degrees = turn
    return Outcome(degrees.max(axis=-1), largest(evidence, known, degrees), int(known.sum()))


def _turn(evidence: Evidence) -> tuple[Mask, Array] | None:
    from evaluation.colorimetry.ipt import ipt_hue

    if not evidence.colour_has_aim:
        return None
    known = _known(evidence)
    known[known] = chroma(evidence.aim[known]) > evidence.limits.hue_least_chroma
    if not known.any():
        return None
    turn = ipt_hue(evidence.measured[..., known, :]) - ipt_hue(evidence.aim[known])
    return known, np.abs(turn - 360 * np.round(turn / 360))


def _known(evidence: Evidence) -> Mask:
    known = evidence.aimed
    if evidence.inside is not None:
        known = known & evidence.inside
    return known


def _percentile_90(values: Array) -> Array:
    result: Array = np.percentile(values, 90, axis=-1)
    return np.asarray(result, np.float64)
