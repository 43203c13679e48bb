"""Single facts of a neutrality record as words: turns, casts, evenness, flatness."""

from evaluation.colorimetry.flatness import Flatness
from evaluation.judgement.greys import NeutralityRecord, Third, UnderLight
from evaluation.telling.neutrality.prints import Greys
from evaluation.telling.numbers import FLATNESS_DIGITS, plain
from evaluation.telling.wording import age_words, counted


def shift(row: UnderLight) -> str:
    """The largest shift under a light, its range of twice its spread, and where most of that comes from.

    >>> from evaluation.metrics.light_spread import Spread
    >>> shift(UnderLight("A", 1.33, 0.6, (0.0, 0.0, 0.0), "M2", False, Spread(0.131, 0.02)))
    '1.3 dCh under A (1.1 to 1.6 by the choice of adaptation)'
    """
    low, high = max(row.largest - 2 * row.spread.both, 0.0), row.largest + 2 * row.spread.both
    why = "by the choice of adaptation" if row.spread.choice > row.spread.reading else "by reading again"
    spread = f" ({low:.1f} to {high:.1f} {why})" if f"{low:.1f}" != f"{high:.1f}" else ""
    return f"{row.largest:.1f} dCh under {row.light}{spread}"


def read_how(greys: Greys) -> str:
    """Under which condition and how long after printing: "M1, 24 h after printing"."""
    condition = greys.record.condition if greys.record is not None else None
    said = condition or "condition not stated"
    return said if greys.hours is None else f"{said}, {age_words(greys.hours)} after printing"


def crossover(record: NeutralityRecord) -> str:
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
    return {"noise": "in noise", "scattered": "scattered"}.get(third.basis, "none")


def evenness(record: NeutralityRecord) -> str:
    tone = record.evenness
    if tone is None:
        return "-"
    falls = "" if tone.monotone else ", one falls back"
    return f"{tone.even} of {tone.of} steps even{falls}"


def flatness(flat: Flatness) -> str:
    """Never graded; too few readings, or noise, say so."""
    floor = plain(flat.floor, FLATNESS_DIGITS)
    if flat.clear_value is not None:
        return f"{plain(flat.clear_value, FLATNESS_DIGITS)}, noise {floor}"
    if flat.readings < 3:
        return f"not known: {counted(flat.readings, 'reading')}"
    return f"hidden by noise, {floor}"
