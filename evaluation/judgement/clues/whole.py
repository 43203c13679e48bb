"""Clues in the departure as a whole: in stripes, on single patches, smooth, by far another way to print.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

from evaluation.judgement.clues.exchanged import readings_fit_exchanged
from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.readings import repeats_noisier_than_usual
from evaluation.judgement.clues.shadows import densities


def readings_in_stripes(clues: Clues) -> Answer:
    """Whether the departure follows one sine over the sheet (`stripes_from`), beyond what sheets do."""
    found = clues.explained
    if found is None:
        return None
    in_stripes = found.stripes >= clues.tables["stripes_from"] and found.stripes > found.smooth
    return in_stripes and found.rms > clues.tables["sheet_mean"]


def single_patches_off(clues: Clues) -> Answer:
    """Whether few patches hold the departure (`single_from`), and neither colour nor exchange explains it.

    A profile's own misfit lies on few strong colours too, and what sheets differ by says nothing of it; hence
    `single_rms`.
    """
    found, tables = clues.explained, clues.tables
    if found is None:
        return None
    alone = found.single >= tables["single_from"] and max(found.smooth, found.near) < tables["single_smooth"]
    beyond = found.rms > max(tables["sheet_mean"], tables["single_rms"])
    return alone and beyond and readings_fit_exchanged(clues) is not True


def departure_smooth(clues: Clues) -> Answer:
    """Whether a smooth function of colour explains the departure (`smooth_from`)."""
    return None if clues.explained is None else clues.explained.smooth >= clues.tables["smooth_from"]


def bare_side_unsteady(clues: Clues) -> Answer:
    """Whether the black is weak (`bare_side_printed`) and repeats spread twice what they usually do."""
    both, noisy = densities(clues), repeats_noisier_than_usual(clues)
    if both is None or noisy is None or clues.gathered is None:
        return None
    spread = (clues.gathered.pool.mean_covariance.trace() / 3) ** 0.5
    unsteady = spread >= clues.tables["bare_side_unsteady"] * clues.tables["reading_sd"]
    return bool(both[1] < clues.tables["bare_side_printed"] and unsteady)


def eye_under_the_readings(clues: Clues) -> Answer:
    """Whether the eye lies under calm readings over the whole sheet (`offset_said`)."""
    return None if clues.eye_off is None else clues.calm and clues.eye_off <= -clues.tables["offset_said"]


def twice_by_far(clues: Clues) -> Answer:
    """Whether a profile applied twice fits better by half (`half_of_stated`)."""
    return _by_far(clues, "profile applied twice")


def no_profile_by_far(clues: Clues) -> Answer:
    """Whether source values sent to the printer fit better by half (`half_of_stated`)."""
    return _by_far(clues, "no profile")


def encoding_by_far(clues: Clues) -> Answer:
    """Whether another RGB encoding fits better by half (`half_of_stated`)."""
    return _by_far(clues, "encoding ")


def intent_by_far(clues: Clues) -> Answer:
    """Whether another intent or black point compensation fits better by half (`half_of_stated`)."""
    return _by_far(clues, "intent ", "compensation", "no compensation")


def _by_far(clues: Clues, *prefixes: str) -> Answer:
    if len(clues.fits) < 2 or "as stated" not in clues.fits:
        return None
    best = min(clues.fits, key=lambda name: clues.fits[name])
    better = clues.fits[best] < clues.tables["half_of_stated"] * clues.fits["as stated"]
    beyond = clues.fits["as stated"] > clues.tables["sheet_mean"]
    return best.startswith(prefixes) and better and beyond
