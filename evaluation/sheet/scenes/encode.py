"""Pictures in linear light brought into an encoding of the sheet, and the 16-bit form in which they are kept.

A colour that an encoding cannot hold goes along the line to the grey of its own luminance. The last fifth of
the room is shared by all that lies there and beyond, so that neighbours stay apart.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from evaluation.colorimetry.encodings import ENCODINGS
from evaluation.sheet.layout import Encoding
from evaluation.sheet.marks import FULL, Pixels
from evaluation.sheet.noise import Floats
from evaluation.sheet.scenes.ground import LUMA

_KNEE: Final = np.float32(0.8)  # share of the room from which colours are drawn closer together
_AT_ONCE: Final = 200_000  # pixels converted: a few megabytes for each step
_ROMM: Final = ENCODINGS["romm-rgb"]
_CODES: Final = np.arange(FULL + 1) / FULL


def kept(light: Floats) -> Pixels:
    """Linear light (..., 3) as 16-bit ROMM RGB (ISO 22028-2), the form in which pictures are kept."""
    coded = _ROMM.encode(np.clip(light, 0, 1).astype(np.float64))
    found: Pixels = np.rint(coded * FULL).astype(np.uint16)
    return found


_DECODED: Final[NDArray[np.float32]] = _ROMM.decode(_CODES).astype(np.float32)


def light_of(pixels: Pixels) -> Floats:
    """The linear light (..., 3) of a picture as it was kept."""
    return _DECODED[pixels]


def of_kept(pixels: Pixels, encoding: Encoding, *, grey: bool = False) -> Pixels:
    """A picture as it was kept (rows, columns, 3) as values of the sheet; a part at a time, for wide ones."""
    flat = pixels.reshape(-1, 3)
    found: Pixels = np.empty_like(flat)
    for first in range(0, len(flat), _AT_ONCE):
        part = slice(first, first + _AT_ONCE)
        found[part] = in_encoding(light_of(flat[part]), encoding, grey=grey)
    return found.reshape(pixels.shape)


def in_encoding(light: Floats, encoding: Encoding, *, grey: bool = False) -> Pixels:
    """Linear light (n, 3) as 16-bit values of the sheet; with `grey` by luminance alone, R = G = B."""
    Y = np.clip(light @ LUMA[:, 0], 0, 1)[:, None]
    space = ENCODINGS[encoding]
    if grey:
        coded = space.encode(Y.astype(np.float64))
        return np.repeat(np.rint(coded * FULL).astype(np.uint16), 3, axis=1)
    to = (np.linalg.inv(space.matrix) @ _ROMM.matrix).astype(np.float32)
    away = light @ to.T - Y
    room = np.where(away > 0, 1 - Y, Y)
    used = (np.abs(away) / np.maximum(room, np.float32(1e-6))).max(axis=1, keepdims=True)
    beyond = used > _KNEE
    held = _KNEE + (1 - _KNEE) * (1 - np.exp(-(used - _KNEE) / (1 - _KNEE)))
    share = np.where(beyond, held / np.maximum(used, np.float32(1e-6)), 1)
    coded = space.encode(np.clip(Y + away * share, 0, 1).astype(np.float64))
    found: Pixels = np.rint(coded * FULL).astype(np.uint16)
    return found
