"""What Pillow's Little CMS makes of device values: a second reader of the same profile."""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

Array = NDArray[np.float64]


def pillow_lab(content: bytes, device: Array) -> Array:
    """A2B1 by Pillow: 8 bit in, 8 bit Lab out."""
    image = Image.fromarray(np.rint(device * 255).astype(np.uint8).reshape(1, -1, 3), "RGB")
    transform = ImageCms.buildTransform(
        ImageCms.getOpenProfile(io.BytesIO(content)),
        ImageCms.createProfile("LAB"),
        "RGB",
        "LAB",
        ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )
    out = np.asarray(ImageCms.applyTransform(image, transform)).astype(np.int16).reshape(-1, 3)
    lab = out.astype(np.float64)
    lab[:, 0] *= 100 / 255
    lab[:, 1:] = np.where(lab[:, 1:] > 127, lab[:, 1:] - 256, lab[:, 1:])
    return lab
