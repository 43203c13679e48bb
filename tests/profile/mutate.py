"""Mutated profiles, one after the other: `mutate.py SEED HOW_MANY`, run by test_damage.py in its own process.

Ends with 0 when each was refused in our own words or computed as itself: never a crash, another exception, a
colour that is no number, or the colours of the space that libvips falls back to.
"""

import sys
from pathlib import Path

import numpy as np
import pyvips
from numpy.typing import NDArray

from evaluation.errors import ProfileProblem
from evaluation.profile.engine import device_from_lab, lab_from_device, open_profile
from evaluation.profile.matrix_profile import matrix_profile
from tests.profile.probes import four_inks, tag_at

Array = NDArray[np.float64]
Content = bytes
DATA = Path(__file__).parent / "data"
SOUND = [
    (DATA / "rgb_output_v2_lab_lut16_g9.icc").read_bytes(),
    (DATA / "rgb_output_v4_lab_mab_g9.icc").read_bytes(),
    four_inks(),
    matrix_profile("romm-rgb"),
]
LAB = np.array([[50.0, 0, 0], [60, 30, 20], [40, -20, 10], [70, 5, -30], [30, 20, -40], [85, -5, 60]])


def fallback_lab(device: Array) -> Array:
    """What libvips makes of these values when it has no usable profile."""
    kind, space = ("rgb16", "srgb") if device.shape[1] == 3 else ("cmyk", "cmyk")
    values = np.rint(device * 65535).astype(np.uint16)[None]
    image = pyvips.Image.new_from_array(values).copy(interpretation=kind)
    found: Array = image.icc_import(input_profile=space, pcs="lab", intent="relative").numpy()[0]
    return found


def mutated(content: Content, rng: np.random.Generator) -> Content:
    """One to eight bytes changed, most of them where the structure is; now and then a cut or a doubling."""
    bytes_ = bytearray(content)
    heads = list(range(132, 132 + 12 * content[131]))
    for signature in (b"A2B0", b"A2B1", b"B2A0", b"B2A1", b"rTRC", b"gXYZ", b"wtpt"):
        try:
            _, offset, length = tag_at(content, signature)
        except KeyError:
            continue
        heads += range(offset, offset + min(length, 64))
    for _ in range(int(rng.integers(1, 9))):
        where = rng.random()
        somewhere = rng.choice(heads) if where < 0.8 else rng.integers(len(bytes_))
        at = int(rng.integers(128) if where < 0.2 else somewhere)
        bytes_[at] = int(rng.choice([0, 1, 2, 3, 4, 255, 127, 128, int(rng.integers(256))]))
    if rng.random() < 0.05:
        del bytes_[int(rng.integers(len(bytes_))) :]
    if rng.random() < 0.05:
        at = int(rng.integers(len(bytes_) + 1))
        bytes_[at:at] = bytes_[:at]
    return bytes(bytes_)


def main(seed: int, many: int) -> int:
    rng = np.random.default_rng(seed)
    devices = {channels: rng.random((6, channels)) for channels in (3, 4)}
    fallbacks = {channels: fallback_lab(device) for channels, device in devices.items()}
    computed = 0
    for number in range(many):
        content = mutated(SOUND[number % len(SOUND)], rng)
        try:
            profile = open_profile(content, "mutated.icc")
            channels = profile.contents.channels
            device = devices.get(channels, np.linspace(0, 1, 6)[:, None])
            lab = lab_from_device(profile, device)
            back = device_from_lab(profile, LAB, "perceptual", black_compensation=True)
        except ProfileProblem:
            continue
        computed += 1
        assert np.isfinite(lab).all() and np.isfinite(back).all(), (seed, number)
        if channels in fallbacks:
            away = np.abs(lab - fallbacks[channels]).max()
            assert away > 0.5, f"profile {number} of seed {seed} was computed as another space"
    print(f"{many} profiles, {computed} computed, the others refused")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2])))
