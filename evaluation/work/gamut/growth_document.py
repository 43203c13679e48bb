"""A series of settings as plain JSON values and as lines of a table for other programs."""

import math

from evaluation.csv_text import csv_text
from evaluation.documents import gamut as shape
from evaluation.judgement.settings_in_order import Series, Setting, SettingStep
from evaluation.session import THIRDS
from evaluation.telling import growth as words


def document(series: Series) -> shape.Growth:
    """The series as plain JSON values, rounded."""
    return {
        "basis": "measured" if series.measured else "promised",
        "patches": series.patches,
        "picture": series.picture or None,
        "settings": [_setting(one) for one in series.settings],
        "steps": [_step(series, step) for step in series.steps],
        "remarks": words.basis(series),
        "tells_not": words.TELLS_NOT,
    }


def as_csv(series: Series) -> str:
    """A line for each hue and third of each step."""
    heads, *rows = words.csv_rows(series)
    return csv_text([str(head) for head in heads], rows)


def _setting(one: Setting) -> shape.SettingHeld:
    return {
        "name": one.name,
        "session": one.session,
        "sheets": one.sheets,
        "picture_outside": None if one.outside is None else round(one.outside, 5),
        "surface_colours": {
            "strongest": round(one.surface.strongest, 5),
            "all": round(one.surface.all_, 5),
            "thirds": {name: round(share, 5) for name, share in one.surface.thirds},
        },
        "volume": round(one.volume),
    }


def _step(series: Series, step: SettingStep) -> shape.GrowthStep:
    gain = series.newly_held(step)
    return {
        "base": series.settings[step.base].name,
        "setting": series.settings[step.to].name,
        "newly_held": None if gain is None else round(gain, 5),
        "mean": _rounded(step.growth.mean),
        "cells": [
            {
                "hue": hue,
                "third": THIRDS[column],
                "growth": _rounded(float(step.growth.cells[row, column])),
                "limit": None if step.limit is None else _rounded(float(step.limit[row, column])),
                "word": step.words[row][column],
                "colours": int(step.growth.counts[row, column]),
            }
            for row, hue in enumerate(words.HUES)
            for column in range(len(THIRDS))
        ],
        "told": words.step_words(series, step),
    }


def _rounded(value: float) -> float | None:
    return round(value, 3) + 0.0 if math.isfinite(value) else None
