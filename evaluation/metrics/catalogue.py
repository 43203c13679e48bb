"""Every metric by name: one function, one line here, one row among the anchors or the never graded."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np

from evaluation.metrics import grey_metrics, saturation, separation, sheet_wide, skin, strength, tone
from evaluation.metrics.evidence import Array, Comparison, Evidence, Metric, Outcome


@dataclass(frozen=True, slots=True)
class CatalogueLine:
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


CATALOGUE: Final[Mapping[str, CatalogueLine]] = MappingProxyType(
    {
        "cast_by_third": CatalogueLine(grey_metrics.cast_by_third, "dE00", "absolute"),
        "dch_mean": CatalogueLine(grey_metrics.dch_mean, "dCh", "absolute"),
        "crossover": CatalogueLine(grey_metrics.crossover, "dCh", "absolute"),
        "evenness": CatalogueLine(tone.evenness, ""),
        "tone_shift": CatalogueLine(tone.tone_shift, "L*"),
        "tone_mid_shift": CatalogueLine(tone.tone_mid_shift, "L*"),
        "light_shift_differential": CatalogueLine(grey_metrics.light_shift_differential, "dCh"),
        "ring_offset": CatalogueLine(grey_metrics.ring_offset, "dE00", "absolute"),
        "first_shadow_step": CatalogueLine(separation.first_shadow_step, "L*"),
        "shadow_kept_share": CatalogueLine(tone.shadow_kept_share, ""),
        "shadow_cast": CatalogueLine(grey_metrics.shadow_cast, "dE00", "absolute"),
        "last_highlight_step": CatalogueLine(separation.last_highlight_step, "L*"),
        "highlight_entry_cast": CatalogueLine(grey_metrics.highlight_entry_cast, "dE00", "absolute"),
        "skin_hue": CatalogueLine(skin.skin_hue, "dH*"),
        "skin_chroma": CatalogueLine(skin.skin_chroma, "dC*"),
        "skin_hue_constancy": CatalogueLine(skin.skin_hue_constancy, "dH*"),
        "skin_dE00": CatalogueLine(skin.skin_dE00, "dE00"),
        "skin_light_excess": CatalogueLine(skin.skin_light_excess, "dCh", shown_with=("skin",)),
        "collapse_step": CatalogueLine(saturation.collapse_step, ""),
        "hue_turn": CatalogueLine(saturation.hue_turn, "degrees"),
        "colour_strength": CatalogueLine(strength.colour_strength, "dE00, no hue"),
        "gradient_jump": CatalogueLine(tone.gradient_jump, "steps"),
        "gradient_hue_drift": CatalogueLine(saturation.gradient_hue_drift, "degrees"),
        "across_sheet": CatalogueLine(sheet_wide.across_sheet, "dE00"),
        "print_mean": CatalogueLine(sheet_wide.print_mean, "dE00"),
        "print_p95": CatalogueLine(sheet_wide.print_p95, "dE00"),
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
