"""Small type as coverage: one grotesque face, anti-aliased, in any size. Latin letters and figures."""

import re
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

Coverage = NDArray[np.uint8]

POINT_MM: Final = 25.4 / 72
SMALLEST_PT: Final = 6.0
CAP_SHARE: Final = 0.72  # height of a capital in ems of this face
_RAISED: Final = 0.23  # ems by which an asterisk, as in L*, is raised; this face sets it on the baseline


@lru_cache(maxsize=64)
def _face(pixels: float) -> Any:
    from PIL import ImageFont  # 16 ms; needed only when a sheet is drawn

    return ImageFont.load_default(pixels)


def width(text: str, pixels: float) -> float:
    """The width of a line of type, pixels, at `pixels` per em."""
    return float(_face(pixels).getlength(text))


@lru_cache(maxsize=4096)
def lettered(text: str, pixels: float) -> tuple[Coverage, int, int]:
    """Coverage (h, w), 0..255, of one line of type, and the places of its left end and baseline in it."""
    from PIL import Image, ImageDraw

    face = _face(pixels)
    left, top, right, bottom = face.getbbox(text, anchor="ls")
    size = (max(1, int(np.ceil(right - left)) + 2), max(1, int(np.ceil(bottom - top)) + 2))
    image = Image.new("L", size, 0)
    draw = ImageDraw.Draw(image)
    before = ""
    for part in re.split(r"(\*)", text):
        lift = _RAISED * pixels if part == "*" else 0.0
        place = (1 - left + face.getlength(before), 1 - top - lift)
        draw.text(place, part, fill=255, font=face, anchor="ls")
        before += part
    coverage: Coverage = np.asarray(image, dtype=np.uint8)
    return coverage, int(1 - left), int(1 - top)
