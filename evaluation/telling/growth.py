"""Settings stepped through, in words, tables and figures: what matters first, the volume last."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.judgement.settings_in_order import Series, SettingStep, best_cell
from evaluation.judgement.several import limit
from evaluation.plain_text import capital, listed, percent, visible
from evaluation.session import CAST_WORDS, THIRDS
from evaluation.telling.figure import Figure, Line, line
from evaluation.telling.numbers import plain, signed
from evaluation.telling.table import Table

HUES: Final = CAST_WORDS[1:]
_SAID: Final = {
    "within sheets": "within what sheets differ by",
    "measured": "measured, not visible",
    "visible": "visible",
    "not visible": "not visible",
}
_SIGNS: Final = {"within sheets": "", "measured": " m", "visible": " v", "not visible": ""}
_READ_SIGNS: Final = "m: measured, more than sheets of one setting differ by. v: and large enough to be seen."
_PROMISED_SIGNS: Final = "v: large enough to be seen, as far as prints keep what their profiles promise."
TELLS_NOT: Final = (
    "Growth is the distance by which the surface of the gamut moves outwards, in dE*ab, averaged over a hue "
    "and a third of L*. It tells nothing of sharpness, grain, banding, or what a picture uses of it."
)


VOLUME_TELLS_NOT: Final = (
    "The volume tells nothing of where a gamut is larger, of this picture, or of how well a print looks."
)


def volumes(series: Series) -> str:
    """The volumes in a line, which comes last and says what it is worth."""
    told = listed([f"{visible(one.name)} {one.volume:,.0f}" for one in series.settings])
    return f"Volume in cubic dE*ab: {told}. {VOLUME_TELLS_NOT}"


def cell_name(hue: int, third: int) -> str:
    """What a cell is called.

    >>> cell_name(3, 1)
    'cyan middle'
    """
    return f"{HUES[hue]} {THIRDS[third]}"


def cell_words(step: SettingStep, hue: int, third: int) -> str:
    """One cell as a phrase to quote: “cyan middle +0.6, measured, not visible”."""
    word = step.words[hue][third]
    if word is None:
        return f"{cell_name(hue, third)}: no colour of the surface lies there"
    return f"{cell_name(hue, third)} {signed(float(step.growth.cells[hue, third]), 1)}, {_SAID[word]}"


def hue_words(series: Series, step: SettingStep, hue: int) -> str:
    """A sentence to quote about one hue: its cell that moved most."""
    cells = np.abs(step.growth.cells[hue])
    if not np.isfinite(cells).any():
        return f"{capital(HUES[hue])}: no colour of the surface lies there."
    return f"{_pair(series, step)}: {cell_words(step, hue, int(np.nanargmax(cells)))}."


def step_words(series: Series, step: SettingStep) -> list[str]:
    """What one setting brings over another: the picture first, surface colours, then where it grows."""
    lines = []
    gain = series.newly_held(step)
    if gain is not None:
        before, now = (percent(series.settings[at].outside or 0.0, 1) for at in (step.base, step.to))
        how = "newly" if gain >= 0 else "no longer"
        share = f"{percent(abs(gain), 1)} of {visible(series.picture)}"
        lines.append(f"{share} {how} held ({before} lay outside, {now} do now).")
    before, now = (percent(series.settings[at].surface.all_, 1) for at in (step.base, step.to))
    lines.append(f"{now} of the space of published surface colours held, {before} before.")
    best = best_cell(step.growth)
    if best is not None:
        out, most = ("outwards", "most") if step.growth.mean >= 0 else ("inwards", "least")
        lines.append(
            f"The surface moves {plain(abs(step.growth.mean), 1)} dE*ab {out} on average, {most} in "
            f"{cell_words(step, *best)}."
        )
    return [f"{_pair(series, step)}: {lines[0]}", *lines[1:]]


def basis(series: Series) -> list[str]:
    """On what the growth rests, and what limits it."""
    lines = []
    if series.measured:
        least, most = (fn(one.sheets for one in series.settings) for fn in (min, max))
        sheets = f"{least}" if least == most else f"{least} to {most}"
        lines.append(
            f"Measured on {series.patches} patches of the RGB cube's faces, printed in every setting; "
            f"{sheets} {'sheet' if most == 1 else 'sheets'} of each."
        )
        if series.sheets is not None and series.sheets.sheets:
            lines.append(f"Limit: what {series.sheets.sheets} sheets of this printer differ by.")
        else:
            lines.append(
                "Limit: what one machine is taken to differ by from sheet to sheet (sheet_mean), since fewer "
                f"than {limit('growth_sheets'):g} sheets of this printer in repeated settings were read."
            )
        if most == 1:
            lines.append("One sheet each: the limit is 1.73 times that of three sheets each.")
    else:
        lines.append("Promised by profiles, not measured.")
    lines += [visible(remark) for remark in series.remarks]
    lines.append(
        f"Visible: {limit('growth_visible'):g} dE*ab outwards or more; colours above C*ab "
        f"{limit('growth_chroma'):g} count. Both are the project's own choice."
    )
    return lines


def growth_table(series: Series, step: SettingStep) -> Table:
    """A row a hue, a column a third of L*: outward, with the sign of its word."""
    rows = tuple(
        (
            hue,
            *(
                "-" if word is None else f"{signed(float(value), 1)}{_SIGNS[word]}"
                for value, word in zip(step.growth.cells[row], step.words[row], strict=True)
            ),
        )
        for row, hue in enumerate(HUES)
    )
    return Table(
        f"{_pair(series, step)}, dE*ab outwards", ("hue", *THIRDS), rows, (1, 2, 3), _note(series, step)
    )


def held_table(series: Series) -> Table:
    """A row a setting: the picture, published surface colours and their thirds."""
    with_picture = any(one.outside is not None for one in series.settings)
    heads = [
        "setting",
        *(["picture held"] if with_picture else []),
        "surface colours",
        *THIRDS,
    ]
    rows = tuple(
        (
            visible(one.name),
            *(["-" if one.outside is None else percent(1 - one.outside, 1)] if with_picture else []),
            percent(one.surface.all_, 1),
            *(percent(share, 1) for _, share in one.surface.thirds),
        )
        for one in series.settings
    )
    return Table("What each setting holds", tuple(heads), rows, tuple(range(1, len(heads))))


def slice_figure(series: Series, step: SettingStep, hue: int) -> Figure:
    """One hue as lightness over chroma: the base as a line, this setting as dots, the one before faint."""
    told = hue_words(series, step, hue)
    return replace(
        slices(series, step),
        id=f"slice-{HUES[hue]}",
        title=told,
        lines=tuple(_slice(series, step, hue)),
        panels=(),
        alt=told,
        size="M",
    )


def slices(series: Series, step: SettingStep) -> Figure:
    """Every hue as a panel, all to one scale."""
    return Figure(
        id=f"slices-{step.base + 1}-{step.to + 1}",
        title=f"{_pair(series, step)}: lightness and chroma in six hues",
        x="C*ab",
        y="L*",
        lines=tuple(each for hue in range(len(HUES)) for each in _slice(series, step, hue)),
        alt=" ".join(hue_words(series, step, hue) for hue in range(len(HUES))),
        x_range=(0.0, reach(series)),
        y_range=(0.0, 100.0),
        panels=HUES,
        size="L",
    )


def _slice(series: Series, step: SettingStep, hue: int) -> Iterator[Line]:
    now, before = step.to, step.to - 1
    for at, drawn, mark in ((step.base, "line", ""), (before, "aim", "·"), (now, "point", "o")):
        if at == before and at == step.base and drawn == "aim":
            continue
        one = series.settings[at]
        yield line(
            visible(one.name), one.outlines[hue].round(1), series.levels, mark, drawn=drawn, label=HUES[hue]
        )


def reach(series: Series) -> float:
    """The largest C*ab of any slice, rounded up to tens, so that all are drawn to one scale."""
    most = max(float(np.nanmax(one.outlines)) for one in series.settings)
    return float(np.ceil(most / 10) * 10)


def csv_rows(series: Series) -> Iterator[tuple[object, ...]]:
    """Heads, then a row for each cell of each step; full precision."""
    yield (
        "base", "setting", "hue", "third", "growth_dE", "limit_dE", "word", "patches", "measured",
    )  # fmt: skip
    for step in series.steps:
        for row, hue in enumerate(HUES):
            for column, third in enumerate(THIRDS):
                value = float(step.growth.cells[row, column])
                yield (
                    series.settings[step.base].name,
                    series.settings[step.to].name,
                    hue,
                    third,
                    None if np.isnan(value) else value,
                    None if step.limit is None else float(step.limit[row, column]),
                    step.words[row][column],
                    int(step.growth.counts[row, column]),
                    series.measured,
                )


def _pair(series: Series, step: SettingStep) -> str:
    return (
        f"{capital(visible(series.settings[step.to].name))} over {visible(series.settings[step.base].name)}"
    )


def _note(series: Series, step: SettingStep) -> str:
    """What the letters mean, where there are any."""
    there = {word for row in step.words for word in row} & {"measured", "visible"}
    return (_READ_SIGNS if series.measured else _PROMISED_SIGNS) if there else ""
