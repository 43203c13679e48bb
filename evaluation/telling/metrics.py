"""Metrics in words: their names, what was read, where and how much, and what each does not tell."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from evaluation.judgement.crossover import hidden_below
from evaluation.judgement.instrument import Graded
from evaluation.metrics.cast import cast_word
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.grey_metrics import third_shifts
from evaluation.plain_text import percent
from evaluation.published.passport import Passport, load_toml
from evaluation.session import THIRD_WORDS
from evaluation.telling.numbers import Rounded
from evaluation.telling.wording import spaced

# {value} with its unit's digits, {where} the place that decided it.
_SENTENCES: Final = {
    "cast_by_third": "The greys of the {where} lie {value:.1f} dE00 off on average",
    "dch_mean": "The greys lie {value:.1f} dCh off on average, most at {where}",
    "crossover": "The cast changes along the scale, {where}: {value:.1f} dCh",
    "evenness": "The steps are uneven at {where}, spread {value:.2f} of a step",
    "tone_shift": "The tones lie {value:.1f} L* off their aim on average, most at {where}",
    "tone_mid_shift": "Middle grey lies {value:.1f} L* off its aim, at {where}",
    "light_shift_differential": "The greys shift apart {where}, {value:.1f} dCh",
    "ring_offset": "The neutral patch of the ring lies {value:.1f} dE00 off, at {where}",
    "first_shadow_step": "The shadows separate from the black at {where}, source L* {value:.1f}",
    "shadow_kept_share": "Shadow contrast kept: {percent} from {where}",
    "shadow_cast": "The shadows lie {value:.1f} dE00 off grey on average, most at {where}",
    "last_highlight_step": "The highlights separate from the paper at {where}, {value:.1f} L* below it",
    "highlight_entry_cast": "The lightest inked steps have a cast, mean {value:.1f} dE00, most at {where}",
    "skin_hue": "Skin lies {value:.1f} dH* off on average in {where}",
    "skin_chroma": "Skin lies {value:.1f} dC* off on average in {where}",
    "skin_hue_constancy": "Skin turns by {value:.1f} dH* from light to shade on {where}",
    "skin_dE00": "Skin lies {value:.1f} dE00 off on average, most at {where}",
    "collapse_step": "Ramps collapse, {percent} of their steps lost on average, most in {where}",
    "hue_turn": "One strong colour in ten turns by {value:.0f} degrees or more, most at {where}",
    "colour_strength": "One strong colour in ten is off in strength by {value:.1f} or more, most at {where}",
    "gradient_jump": "A gradient has an edge at {where}, {value:.1f} of a step",
    "gradient_hue_drift": "A gradient turns in hue by {value:.0f} degrees at {where}",
    "across_sheet": "One tint in twenty lies {value:.1f} dE00 or more off its equals, most at {where}",
    "print_mean": "The print lies {value:.1f} dE00 from what the profile expects, on average",
    "print_p95": "One patch in twenty lies {value:.1f} dE00 or more from what the profile expects",
}


def sentence(graded: Graded, evidence: Evidence | None = None) -> str:
    """What one metric found, without a full stop: "The steps are uneven at step 4, neutral 6.5, ..."."""
    metric = graded.worked.metric
    if metric.name == "cast_by_third" and evidence is not None:
        cast = _cast(evidence, metric.where or "")
        if cast:
            off = Rounded(metric.value, metric.spread)
            return f"The greys of the {metric.where} have a {cast} cast, {off:.1f} dE00"
    words = _SENTENCES[metric.name]
    if metric.where is None:  # nowhere beyond its noise
        words = words.partition(", most")[0]
    value = Rounded(metric.value, metric.spread)
    told = words.format(value=value, percent=percent(metric.value), where=metric.where)
    if metric.name == "light_shift_differential" and metric.spread:
        low, high = max(metric.value - 2 * metric.spread, 0.0), metric.value + 2 * metric.spread
        told += f" ({low:.1f} to {high:.1f} by reading and the choice of adaptation)"
    return told


def _cast(evidence: Evidence, third: str) -> str:
    """The direction of a third in a word; empty where its mean is below the limit or within its noise."""
    means, noise, present = third_shifts(evidence)
    for index, t in enumerate(present):
        if third == THIRD_WORDS[t]:
            da, db = means.reshape(-1, len(present), 2)[0, index]
            hidden = hidden_below(float(noise[index]), evidence.limits)
            beyond = np.hypot(da, db) > max(evidence.limits.cast_named, hidden)
            return cast_word(float(da), float(db)) if beyond else ""
    return ""


@dataclass(frozen=True, slots=True)
class Telling:
    name: str
    not_told: str


def telling(metric: str) -> Telling:
    """Name and limits of a metric; one that the table does not know keeps its own name."""
    return _table()[1].get(metric) or Telling(spaced(metric), "")


def passport() -> Passport:
    return _table()[0]


def known() -> frozenset[str]:
    """The metrics the table speaks of."""
    return frozenset(_table()[1])


@lru_cache(maxsize=1)
def _table() -> tuple[Passport, dict[str, Telling]]:
    found, data = load_toml("evaluation.telling", "metrics.toml")
    return found, {metric: Telling(row["name"], row["not_told"]) for metric, row in data.items()}
