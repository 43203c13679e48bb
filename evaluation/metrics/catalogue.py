"""Every metric by name: one function, one line here, one row among the anchors or the never graded."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np

from evaluation.metrics import grey_metrics, saturation, separation, sheet_wide, skin, strength, tone
from evaluation.metrics.evidence import Array, Comparison, Evidence, Metric, Outcome


@dataclass(frozen=True, slots=True)
class Line:
    """A metric of the catalogue.

    function    what calculates it
    unit        as in a sentence
    comparison  in which frame
    shown_with  kinds of region it is shown with beside the grade; such a metric is never graded
    """

    function: Callable[[Evidence], Outcome | None]
    unit: str
    comparison: Comparison = "media-relative"
    shown_with: tuple[str, ...] = ()


CATALOGUE: Final[Mapping[str, Line]] = MappingProxyType(
    {
        "cast_by_third": Line(grey_metrics.cast_by_third, "dE00", "absolute"),
        "dch_mean": Line(grey_metrics.dch_mean, "dCh", "absolute"),
        "crossover": Line(grey_metrics.crossover, "dCh", "absolute"),
        "evenness": Line(tone.evenness, ""),
        "tone_shift": Line(tone.tone_shift, "L*"),
        "tone_mid_shift": Line(tone.tone_mid_shift, "L*"),
        "light_shift_differential": Line(grey_metrics.light_shift_differential, "dCh"),
        "ring_offset": Line(grey_metrics.ring_offset, "dE00", "absolute"),
        "first_shadow_step": Line(separation.first_shadow_step, "L*"),
        "shadow_kept_share": Line(tone.shadow_kept_share, ""),
        "shadow_cast": Line(grey_metrics.shadow_cast, "dE00", "absolute"),
        "last_highlight_step": Line(separation.last_highlight_step, "L*"),
        "highlight_entry_cast": Line(grey_metrics.highlight_entry_cast, "dE00", "absolute"),
        "skin_hue": Line(skin.skin_hue, "dH*"),
        "skin_chroma": Line(skin.skin_chroma, "dC*"),
        "skin_hue_constancy": Line(skin.skin_hue_constancy, "dH*"),
        "skin_dE00": Line(skin.skin_dE00, "dE00"),
        "skin_light_excess": Line(skin.skin_light_excess, "dCh", shown_with=("skin",)),
        "collapse_step": Line(saturation.collapse_step, ""),
        "hue_turn": Line(saturation.hue_turn, "degrees"),
        "colour_strength": Line(strength.colour_strength, "dE00, no hue"),
        "gradient_jump": Line(tone.gradient_jump, "steps"),
        "gradient_hue_drift": Line(saturation.gradient_hue_drift, "degrees"),
        "across_sheet": Line(sheet_wide.across_sheet, "dE00"),
        "print_mean": Line(sheet_wide.print_mean, "dE00"),
        "print_p95": Line(sheet_wide.print_p95, "dE00"),
    }
)


@dataclass(frozen=True, slots=True, eq=False)
class Worked:
    """A metric and its values (draws,) over the bootstrap draws; the first is the metric's own."""

    metric: Metric
    draws: Array


def shown(kind: str, evidence: Evidence) -> tuple[Metric, ...]:
    """The metrics shown with a kind of region and never graded, as far as its evidence suffices."""
    names = (name for name, line in CATALOGUE.items() if kind in line.shown_with)
    return tuple(one.metric for name in names if (one := worked_out(name, evidence)) is not None)


def worked_out(name: str, evidence: Evidence) -> Worked | None:
    """The named metric of a region; None where the evidence does not suffice. Raises KeyError."""
    line = CATALOGUE[name]
    outcome = line.function(evidence)
    if outcome is None:
        return None
    draws: Array = np.ravel(np.asarray(outcome.values, np.float64))
    metric = Metric(
        name=name,
        value=float(draws[0]),
        unit=line.unit,
        spread=float(draws[1:].std()) if draws.size > 1 else None,
        where=outcome.where,
        patches=int(outcome.patches),
        comparison=evidence.comparison if line.comparison == "media-relative" else "absolute",
    )
    return Worked(metric, draws)
