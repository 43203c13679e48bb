"""Which patches a sheet has, in the order in which they are read.

Those that grades need come first, optional rings and gradients last. The short list has 30.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from evaluation.sheet import fields
from evaluation.sheet.layout import Encoding, Patch, Sheet
from evaluation.sheet.request import OWN_PICTURES
from evaluation.sheet.scenes import catalogue

COLOUR_KINDS: Final = (
    "neutral", "ring", "shadow", "highlight", "skin", "saturation", "gradient", "detail", "structure",
    "tints", "gloss", "scenes", *OWN_PICTURES
)  # fmt: skip
MONO_KINDS: Final = (
    "mono_neutral", "ring", "mono_shadow", "mono_highlight", "mono_tone", "detail", "structure", "tints",
    "gloss", "mono_scenes"
)  # fmt: skip
# A number means the same quality on both sheets; the ring-around belongs to region 1 and has none.
NUMBERS: Final[Mapping[str, int]] = MappingProxyType(
    {
        "neutral": 1, "shadow": 2, "highlight": 3, "skin": 4, "saturation": 5, "gradient": 6, "detail": 7,
        "tints": 8, "picture": 9, "scenes": 10, "mono_scenes": 10, "gloss": 11, "structure": 12,
        "picture_2": 13, "picture_3": 14,
        "mono_neutral": 1, "mono_shadow": 2, "mono_highlight": 3, "mono_tone": 6,
    }
)  # fmt: skip

# Rings and gradients come last: a sheet can be graded by instrument without them.
_FIRST: Final = (
    "neutral", "mono_neutral", "shadow", "mono_shadow", "highlight", "mono_highlight", "mono_tone", "skin",
    "saturation", "tints", "gloss", "scenes", "mono_scenes",
    "process",
)  # fmt: skip
OPTIONAL_KINDS: Final = ("ring", "gradient")

_SHORT_COLOUR: Final = (
    "N01 S03 S06 S09 S12 N05 N07 N09 N11 N13 N15 N17 N19 N20 H08 H04 N21 "
    "SK02 SK08 SK11 SK17 SK23 RD8 YE8 GN8 CY8 BU8 MG8 T1 T5"
)
# With pictures a green and a blue of middle strength, which no other field has, stand for two of the greys.
_CHIPS: Final = ("FO2", "DU3")
_FOR_CHIPS: Final = ("N09", "N15")  # each third of the scale keeps two greys and more
_SHORT_MONO: Final = (
    "N01 S02 S03 S06 S09 S12 N03 N05 N06 N07 N08 N09 N10 N11 N12 N13 N14 N15 N16 N17 N18 N19 N20 "
    "H11 H10 H08 H06 H04 H02 N21"
)


def patch_set(kinds: tuple[str, ...], encoding: Encoding, seed: int, bands: int = 1) -> tuple[Patch, ...]:
    """All patches of the regions of these kinds, in reading order; the kinds are the ids of the regions.

    `bands` of tints stand along the sheet.
    """
    mono = any(kind.startswith("mono_") for kind in kinds)
    makers: Mapping[str, Callable[[], tuple[Patch, ...]]] = {
        "neutral": lambda: fields.neutral(encoding),
        "mono_neutral": lambda: fields.neutral(encoding, "mono_neutral"),
        "shadow": lambda: fields.shadow(encoding),
        "mono_shadow": lambda: fields.shadow(encoding, "mono_shadow"),
        "highlight": lambda: fields.highlight(encoding),
        "mono_highlight": lambda: fields.highlight(encoding, "mono_highlight"),
        "mono_tone": lambda: fields.tone(encoding),
        "skin": lambda: fields.skin(encoding),
        "saturation": lambda: fields.saturation(encoding),
        "tints": lambda: fields.tints(encoding, mono, bands=bands),
        "scenes": lambda: fields.chips(catalogue.COLOUR, encoding, "scenes"),
        "mono_scenes": lambda: fields.chips(catalogue.MONO, encoding, "mono_scenes", grey=True),
        "gloss": lambda: fields.gloss(encoding, mono),
        "ring": lambda: fields.ring(encoding, seed),
        "gradient": lambda: fields.gradient(encoding),
    }
    patches: list[Patch] = []
    for kind in (*_FIRST, *OPTIONAL_KINDS):
        if kind in kinds:
            patches += makers[kind]()
        elif kind == "process" and not mono:
            patches += fields.process(encoding)
    return tuple(patches)


def set_of(region: str) -> str:
    """The kind of a region of ours: whose questions it asks."""
    return OWN_PICTURES[0] if region in OWN_PICTURES else region


def short_list(patches: tuple[Patch, ...], mono: bool) -> tuple[Patch, ...]:
    """The patches of the strip on the sheet, dark to light and then by colour; at most 30."""
    by_id = {patch.id: patch for patch in patches}
    names = (_SHORT_MONO if mono else _SHORT_COLOUR).split()
    if not mono and all(chip in by_id for chip in _CHIPS):
        names = [name for name in names if name not in _FOR_CHIPS]
        names[names.index("T1") : names.index("T1")] = _CHIPS
    return tuple(by_id[name] for name in names if name in by_id)


def on_strip(sheet: Sheet) -> tuple[Patch, ...]:
    """The patches of the strip as a drawn sheet has it, from left to right; none on another test image.

    They are the lowest fields of the first leaf: sheets drawn earlier have others than `short_list`.
    """
    placed = [(patch.area, patch) for patch in sheet.patches if patch.area and patch.area.leaf == 1]
    if not sheet.code or not placed:
        return ()
    lowest = max(area.top for area, _ in placed)
    row = [(area.left, patch) for area, patch in placed if area.top == lowest]
    return tuple(patch for _, patch in sorted(row, key=lambda at: at[0]))
