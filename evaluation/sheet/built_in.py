"""The maps that come with the program, composed for 13 x 19 in; the files in `maps/` are their text.

A test composes them again and compares. To write them again: `python -m evaluation.sheet.built_in`.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from evaluation.sheet.compose import compose
from evaluation.sheet.patch_set import COLOUR_KINDS, MONO_KINDS

SIZE_MM: Final = (330.2, 482.6)
PPI: Final = 300
SEED: Final = 1319

BUILT_IN: Final[Mapping[str, tuple[str, ...]]] = {
    "colour-9": COLOUR_KINDS,
    "mono-7": MONO_KINDS,
    "colour-4": ("neutral", "shadow", "skin", "saturation"),
}


def built_in_text(name: str) -> str:
    """The text that `maps/NAME.toml` must hold."""
    composition = compose(SIZE_MM, PPI, "srgb", SEED, kinds=BUILT_IN[name])
    return f"# Made by evaluation/sheet/built_in.py ({name}). Change it there.\n{composition.map_text}"


if __name__ == "__main__":
    for name in BUILT_IN:
        path = Path(__file__).parent / "maps" / f"{name}.toml"
        path.write_text(built_in_text(name), encoding="utf-8")
