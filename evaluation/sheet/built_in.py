"""The maps that come with the program, made from the fields; the files in `maps/` are their text.

A test makes them again and compares. To write them anew: `python -m evaluation.sheet.built_in`.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from evaluation.sheet import fields
from evaluation.sheet.layout import Area, Encoding, Patch, Sheet, SheetRegion
from evaluation.sheet.questions import question_sets
from evaluation.sheet.write_map import map_toml

NUMBERS: Final[Mapping[str, int]] = {"neutral": 1, "shadow": 2, "skin": 4, "saturation": 5}

_SIZE_MM = (330.2, 482.6)
_MARGIN = 12.7
_GAP = 2.0


def colour_4() -> Sheet:
    """Four regions on 13 x 19 in, sRGB: grey scale, shadows, skin, saturation."""
    bands: list[tuple[str, Callable[[Encoding], tuple[Patch, ...]], int, float, float]] = [
        ("neutral", fields.neutral, 21, 40.0, 60.0),
        ("shadow", fields.shadow, 16, 115.0, 60.0),
        ("skin", fields.skin, 12, 190.0, 100.0),
        ("saturation", fields.saturation, 16, 305.0, 160.0),
    ]
    patches: list[Patch] = []
    regions: list[SheetRegion] = []
    for kind, make, across, top, height in bands:
        area = (_MARGIN, top, _SIZE_MM[0] - 2 * _MARGIN, height)
        own = _grid(make("srgb"), area, across)
        patches += own
        regions.append(_region(kind, _fraction(area), own))
    return Sheet(
        digest="",
        title="Four regions, 13 x 19 in",
        code="",
        encoding="srgb",
        size_mm=_SIZE_MM,
        neutral_aim="paper",
        regions=tuple(regions),
        patches=tuple(patches),
        paper_patch="N21",
        black_patch="N01",
    )


def _region(kind: str, area: Area, patches: Sequence[Patch]) -> SheetRegion:
    about = question_sets()[kind]
    return SheetRegion(
        id=kind,
        number=NUMBERS.get(kind),
        kind=kind,
        title=about.title,
        shows=about.shows,
        area=area,
        questions=about.questions,
        faults=about.faults,
        patch_ids=tuple(patch.id for patch in patches),
        metrics=about.metrics,
    )


def _grid(
    patches: Sequence[Patch], area: tuple[float, float, float, float], across: int
) -> tuple[Patch, ...]:
    """The patches in rows of `across`, filling a rectangle in millimetres, paper between them."""
    left, top, width, height = area
    down = -(-len(patches) // across)
    step = (width / across, height / down)
    return tuple(
        replace(
            patch,
            area=_fraction(
                (
                    left + index % across * step[0] + _GAP / 2,
                    top + index // across * step[1] + _GAP / 2,
                    step[0] - _GAP,
                    step[1] - _GAP,
                )
            ),
        )
        for index, patch in enumerate(patches)
    )


def _fraction(mm: tuple[float, float, float, float]) -> Area:
    left, top, width, height = mm
    return Area(
        *(
            round(value, 5)
            for value in (
                left / _SIZE_MM[0],
                top / _SIZE_MM[1],
                width / _SIZE_MM[0],
                height / _SIZE_MM[1],
            )
        )
    )


BUILT_IN: Final[Mapping[str, Callable[[], Sheet]]] = {"colour-4": colour_4}


def built_in_text(name: str) -> str:
    """The text that `maps/NAME.toml` must hold."""
    return map_toml(BUILT_IN[name](), f"Made by evaluation/sheet/built_in.py ({name}). Change it there.")


if __name__ == "__main__":
    for name in BUILT_IN:
        target = Path(__file__).parent / "maps" / f"{name}.toml"
        target.write_text(built_in_text(name), encoding="utf-8")
