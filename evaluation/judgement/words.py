"""Metrics and findings in calm words: what was read, where, how much."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from evaluation.judgement.instrument import Graded
from evaluation.judgement.opinion import Agreement, Opinion, Pair
from evaluation.metrics.cast import cast_word
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.grey_metrics import third_shifts
from evaluation.plain_text import listed, percent
from evaluation.session import THIRD_WORDS
from evaluation.sheet.layout import SheetRegion

_FINE: Final = 4.95  # shown as 5.0: from here on a metric has nothing to say

# {value} with its unit's digits, {where} the place that decided it.
_SENTENCES: Final = {
    "cast_by_third": "The greys lean in the {where}, {value:.1f} dE00",
    "dch_mean": "The greys lie {value:.1f} dCh off on average, most at {where}",
    "crossover": "The lean changes, {where}: {value:.1f} dCh",
    "evenness": "The steps climb unevenly at {where}, spread {value:.2f} of a step",
    "tone_shift": "The tones lie {value:.1f} L* off their aim on average, most at {where}",
    "tone_mid_shift": "Middle grey lies {value:.1f} L* off its aim, at {where}",
    "light_shift_differential": "The greys part {where}, {value:.1f} dCh",
    "ring_offset": "The patch meant as grey lies {value:.1f} dE00 off, at {where}",
    "first_shadow_step": "The shadows part from the black at {where}, source L* {value:.1f}",
    "shadow_kept_share": "Of the shadows' opening {percent} is left from {where}",
    "shadow_cast": "The shadows lean by {value:.1f} dE00, most at {where}",
    "last_highlight_step": "The lights part from the paper at {where}, {value:.1f} L* below it in the file",
    "highlight_entry_cast": "The first ink is tinted by {value:.1f} dE00, most at {where}",
    "skin_hue": "Skin turns by {value:.1f} dH* in {where}",
    "skin_chroma": "Skin is {value:.1f} dC* off in {where}",
    "skin_hue_constancy": "Shade leaves the colour of light by {value:.1f} dH* on {where}",
    "skin_dE00": "Skin lies {value:.1f} dE00 off on average, most at {where}",
    "collapse_step": "Ramps stop growing, {percent} of them lost; most in {where}",
    "hue_turn": "Strong colours turn by {value:.0f} degrees, most at {where}",
    "over_saturation": "Strong colours go {value:.1f} dC* beyond their aim, most at {where}",
    "gradient_jump": "A gradient has an edge at {where}, {value:.1f} of a step",
    "gradient_hue_drift": "A gradient turns by {value:.0f} degrees at {where}",
    "across_sheet": "Equal tints differ over the sheet by {value:.1f} dE00, most at {where}",
    "print_mean": "The print lies {value:.1f} dE00 from what the profile expects, on average",
    "print_p95": "One patch in twenty lies {value:.1f} dE00 from what the profile expects",
}


def sentence(graded: Graded, evidence: Evidence | None = None) -> str:
    """What one metric says, without a full stop: "The steps climb unevenly at step 4, neutral 6.5, ..."."""
    metric = graded.worked.metric
    if metric.name == "cast_by_third" and evidence is not None:
        lean = _lean(evidence, metric.where or "")
        if lean:
            return f"The greys lean {lean} in the {metric.where}, {metric.value:.1f} dE00"
    where = metric.where or "several places"
    return _SENTENCES[metric.name].format(value=metric.value, percent=percent(metric.value), where=where)


def _lean(evidence: Evidence, third: str) -> str:
    """The direction of a third in a word; empty where its mean is below the limit or within its noise."""
    means, noise, present = third_shifts(evidence)
    for index, t in enumerate(present):
        if third == THIRD_WORDS[t]:
            da, db = means.reshape(-1, len(present), 2)[0, index]
            # 2.45: radius that holds 95 % of a round normal distribution, as noise sqrt(a^2 + b^2) / sqrt(2)
            beyond = np.hypot(da, db) > max(evidence.limits.cast_named, 2.45 * noise[index] / np.sqrt(2))
            return f"to {cast_word(float(da), float(db))}" if beyond else ""
    return ""


def why(
    agreement: Agreement,
    region: SheetRegion,
    eye: Opinion | None,
    instrument: Opinion | None,
    deciding: Graded | None,
    evidence: Evidence | None,
    pairs: Sequence[Pair],
    unseen_faults: Sequence[str],
) -> str:
    """One or two sentences for a finding: what decided, and what to look at where the two part."""
    read = sentence(deciding, evidence) if deciding is not None else ""
    fine = deciding is not None and deciding.grade >= _FINE
    match agreement:
        case "not looked":
            return "Not looked at yet; its readings stay out of sight."
        case "none":
            return "Neither looked at nor read."
        case "eye only" if instrument is None:
            return "Nothing was read here." if region.patch_ids else "Nothing to read here."
        case "eye only":
            return f"The readings cannot see {listed(unseen_faults)}; the eye stands alone."
        case "instrument only":
            return (
                "The readings find nothing to mention." if fine else f"{read}."
            ) + " No eye has graded it."
        case "disagree" if eye is not None and instrument is not None:
            return _parted(region, eye, instrument, "" if fine else read, pairs)
    if fine:
        calm = eye is not None and eye.grade >= _FINE
        return "No fault seen, none measured." if calm else "The eye sees a little, the readings nothing."
    return f"{read}."


def _parted(region: SheetRegion, eye: Opinion, instrument: Opinion, read: str, pairs: Sequence[Pair]) -> str:
    worst = max(
        (pair for pair in pairs if not pair.agree), key=lambda p: abs(p.eye - p.instrument), default=None
    )
    if worst is None:
        said = f"You say {eye.grade:.1f}, the readings {instrument.grade:.1f}"
    else:
        asked = next(question.ask for question in region.questions if question.id == worst.question)
        said = f"To “{asked}” your answer stands at {worst.eye:.1f}, the readings at {worst.instrument:.1f}"
    more = f" {read}." if read else ""
    return f"{said}: more than both can explain.{more} Look at it again, or read it again."
