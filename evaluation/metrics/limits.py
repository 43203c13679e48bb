"""The limits that metrics use. Their values come from the settings."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """Named as in the settings (`thresholds.toml`), which give each its value, unit, mark and note."""

    flare: float
    jnd_count: float
    lux: float
    paper_reflectance: float
    noise_times: float
    cast_named: float
    cast_sure: float
    crossover_named: float
    hollow_lightness: float
    hollow_noise: float
    shadow_from: float
    shadow_to: float
    collapse_share: float
    hue_least_chroma: float
    gradient_patches: float
    jump_chance: float
    matt_black: float
    reading_sd: float
    repeats_least: float
    sitting: float
    line_factor: float
    strong_chroma: float
