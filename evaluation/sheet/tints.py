"""Even tints, fields for gloss and process patches: single colours in CIELAB for D50.

All are the project's own choice, and lie inside sRGB, so that the sheet is the same in all encodings.
"""

from typing import Final

from evaluation.sheet.layout import Triple

DEEP_BLACK: Final = "deep black"  # one field over the width of large sheets
PLACES: Final = ("left", "middle", "right")  # of each tint across the sheet

# Tints in which prints show grain (light ones), mottle (blue, brown, dark grey) and stripes (mid-tones).
COLOUR_TINTS: Final[tuple[tuple[str, Triple], ...]] = (
    ("light grey", (85.0, 0.0, 0.0)),
    ("middle grey", (60.0, 0.0, 0.0)),
    ("dark grey", (28.0, 0.0, 0.0)),
    ("light skin", (80.0, 10.0, 14.0)),
    ("brown", (38.0, 16.0, 24.0)),
    ("red", (46.0, 52.0, 28.0)),
    ("light blue", (80.0, -6.0, -18.0)),
    ("blue", (40.0, 6.0, -42.0)),
    ("green", (52.0, -36.0, 26.0)),
)
MONO_TINTS: Final[tuple[tuple[str, Triple], ...]] = tuple(
    (f"grey {lightness}", (float(lightness), 0.0, 0.0)) for lightness in (92, 85, 76, 66, 56, 46, 36, 26, 16)
)

# Side by side, so that borders between no ink, little ink and full ink cross a lamp's reflection; black and
# deep blue are where bronzing is looked for first.
GLOSS_FIELDS: Final[tuple[tuple[str, Triple], ...]] = (
    ("bare paper", (100.0, 0.0, 0.0)),
    ("light tint", (88.0, 0.0, 0.0)),
    ("middle grey", (50.0, 0.0, 0.0)),
    ("black", (0.0, 0.0, 0.0)),
    ("deep blue", (24.0, 18.0, -48.0)),
)
MONO_GLOSS_FIELDS: Final[tuple[tuple[str, Triple], ...]] = (
    *GLOSS_FIELDS[:4],
    ("dark grey", (22.0, 0.0, 0.0)),
)

# Five colours that print differently when the picture does not go through the profile once: sent unmanaged,
# managed twice, or interpreted in another encoding. The grey shows the curve, the three strong colours the
# primaries, the skin both.
PROCESS_PATCHES: Final[tuple[tuple[str, Triple], ...]] = (
    ("process grey", (50.0, 0.0, 0.0)),
    ("process red", (48.0, 58.0, 34.0)),
    ("process green", (58.0, -46.0, 36.0)),
    ("process blue", (36.0, 16.0, -52.0)),
    ("process skin", (66.0, 17.0, 19.0)),
)
