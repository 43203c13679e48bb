"""Single facts of a neutrality record as words: numbers with their signs, ages, turns, evenness, flatness."""

import numpy as np

from evaluation.colorimetry.flatness import Flatness
from evaluation.judgement.greys import Record, Third
from evaluation.work.neutrality.neutrality import Greys


def read_how(greys: Greys) -> str:
    """Under which condition and how long after printing: "M1, 24 h after printing"."""
    condition = greys.record.condition if greys.record is not None else None
    said = condition or "condition not stated"
    return said if greys.hours is None else f"{said}, {age_words(greys.hours)} after printing"


def crossover(record: Record) -> str:
    turn = record.crossover
    if turn is None:
        return "none"
    if turn.only:
        leaning = [third.name for third in record.thirds.values() if third.cast != "none"]
        word = turn.dark if turn.light == "none" else turn.light
        return f"{word}, in the {' and '.join(leaning)} alone" if leaning else f"{word}, in one part alone"
    return f"near L* {turn.near_l:.0f}, turn {turn.turn:.1f}"


def cast(third: Third) -> str:
    """A third's cast in a word or two; where none is named, whether one could have been."""
    if third.cast != "none":
        return third.cast
    return {"noise": "in noise", "scattered": "scattered"}.get(third.told, "none")


def evenness(record: Record) -> str:
    tone = record.evenness
    if tone is None:
        return "-"
    falls = "" if tone.monotone else ", one falls back"
    return f"{tone.even} of {tone.of} steps even{falls}"


def flatness(flat: Flatness) -> str:
    """Never graded; too few readings, or noise, say so."""
    if flat.clear_value is not None:
        return f"{flat.clear_value:.2f}, noise {flat.floor:.2f}"
    if flat.readings < 3:
        count = "one reading" if flat.readings == 1 else f"{flat.readings} readings"
        return f"not told: {count}"
    return f"hidden by noise, {flat.floor:.2f}"


def age_words(hours: float) -> str:
    """
    >>> age_words(0.42), age_words(24.4), age_words(80)
    ('25 min', '24 h', '3 days')
    """
    if hours < 1:
        return f"{hours * 60:.0f} min"
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.0f} days"


def signed(value: float, digits: int) -> str:
    """With its sign; nothing is read as 0.0, never as -0.0."""
    if not np.isfinite(value):
        return "-"
    return f"{round(value, digits) + 0.0:+.{digits}f}"


def number(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if np.isfinite(value) else "-"
