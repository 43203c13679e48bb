"""Colour of a full chart: dE00 of 3,000 pairs, XYZ of 3,000 spectra of 36 bands.

Each is timed beside a plain numpy version of the same formula and beside colour-science, turn and turn about,
in one process; what an import takes, in a process of its own:

    uv run python tests/benchmarks/bench_colour.py
"""

import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np

from evaluation.colorimetry import second_opinion
from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.colorimetry.spectra import tristimulus_weights, xyz_from_spectra
from evaluation.published.colour_science import colour_science

ROUNDS = 60
COUNT = 3000
NM = np.arange(380.0, 731.0, 10)
IMPORTS = {  # what is imported before the clock starts, and what is timed
    "numpy": ("", "import numpy"),
    "our colorimetry, weights worked out": (
        "import numpy",
        "from evaluation.colorimetry import difference, spectra\n"
        "spectra.tristimulus_weights(range(380, 731, 10))",
    ),
    "colour-science, without its plotting": (
        "import numpy; from evaluation.published.colour_science import colour_science",
        "with colour_science(): pass",
    ),
    "colour-science, as it comes": (
        "import numpy, warnings; warnings.simplefilter('ignore')",
        "import colour",
    ),
}


def plain_delta_e_2000(one: np.ndarray, two: np.ndarray) -> np.ndarray:
    """Sharma, Wu and Dalal (2005) written down line by line, without a guard and without care for speed."""
    L1, a1, b1 = one.T
    L2, a2, b2 = two.T
    C = (np.sqrt(a1**2 + b1**2) + np.sqrt(a2**2 + b2**2)) / 2
    G = 0.5 * (1 - np.sqrt(C**7 / (C**7 + 25.0**7)))
    a1, a2 = (1 + G) * a1, (1 + G) * a2
    C1, C2 = np.sqrt(a1**2 + b1**2), np.sqrt(a2**2 + b2**2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360
    dh = h2 - h1
    dh = np.where(dh > 180, dh - 360, np.where(dh < -180, dh + 360, dh))
    dh = np.where(C1 * C2 == 0, 0, dh)
    h = np.where(np.abs(h1 - h2) <= 180, (h1 + h2) / 2, (h1 + h2 + 360) / 2 % 360)
    h = np.where(C1 * C2 == 0, h1 + h2, h)
    L, C = (L1 + L2) / 2, (C1 + C2) / 2
    T = (
        1
        - 0.17 * np.cos(np.radians(h - 30))
        + 0.24 * np.cos(np.radians(2 * h))
        + 0.32 * np.cos(np.radians(3 * h + 6))
        - 0.20 * np.cos(np.radians(4 * h - 63))
    )
    SL = 1 + 0.015 * (L - 50) ** 2 / np.sqrt(20 + (L - 50) ** 2)
    SC, SH = 1 + 0.045 * C, 1 + 0.015 * C * T
    RT = -2 * np.sqrt(C**7 / (C**7 + 25.0**7)) * np.sin(np.radians(60 * np.exp(-(((h - 275) / 25) ** 2))))
    dL, dC, dH = (L2 - L1) / SL, (C2 - C1) / SC, 2 * np.sqrt(C1 * C2) * np.sin(np.radians(dh / 2)) / SH
    return np.sqrt(dL**2 + dC**2 + dH**2 + RT * dC * dH)


def one_by_one(work: Callable[[np.ndarray, np.ndarray], object], one: np.ndarray, two: np.ndarray) -> None:
    for left, right in zip(one, two, strict=True):
        work(left, right)


def timed(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - started)


def beside(title: str, ours: Callable[[], object], baseline: Callable[[], object], what: str) -> None:
    """Time both in turn and print the middle of each."""
    ours(), baseline()
    pairs = [(timed(ours), timed(baseline)) for _ in range(ROUNDS)]
    mine, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(f"{title:<42} {mine:8.3f} ms   {what}: {theirs:8.3f} ms   ratio {mine / theirs:5.2f}")


def imports() -> None:
    """Processor time of each in a process of its own; the least of five."""
    for what, (before, statement) in IMPORTS.items():
        script = f"import time\n{before}\nstarted = time.process_time()\n{statement}\n"
        script += "print(time.process_time() - started)"
        ran = [
            subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
            for _ in range(5)
        ]
        print(f"import {what:<37} {1000 * min(map(float, ran)):8.1f} ms")


def beside_colour_science(one: np.ndarray, two: np.ndarray, xyz: np.ndarray) -> None:
    """The 30 patches of a region, as a key press has them, and a chart."""
    with colour_science():  # or every call would open its own
        for count in (30, COUNT):
            left, right, some = one[:count], two[:count], xyz[:count]
            beside(
                f"dE00 of {count} pairs",
                lambda left=left, right=right: delta_e_2000(left, right),
                lambda left=left, right=right: second_opinion.delta_e_2000(left, right),
                "colour-science",
            )
            beside(
                f"CIELAB of {count} XYZ",
                lambda some=some: lab_from_xyz(some),
                lambda some=some: second_opinion.lab_from_xyz(some),
                "colour-science",
            )


def main() -> None:
    rng = np.random.default_rng(0)
    one, two = rng.uniform((0, -80, -80), (100, 80, 80), (2, COUNT, 3))
    spectra = rng.uniform(0.02, 0.9, (COUNT, NM.size))
    weights = tristimulus_weights(NM)
    assert np.abs(delta_e_2000(one, two) - plain_delta_e_2000(one, two)).max() < 1e-9

    beside(
        "dE00 of 3,000 pairs",
        lambda: delta_e_2000(one, two),
        lambda: plain_delta_e_2000(one, two),
        "plain numpy",
    )
    beside(
        "XYZ of 3,000 spectra of 36 bands",
        lambda: xyz_from_spectra(NM, spectra),
        lambda: spectra @ weights,
        "bare product",
    )
    beside(
        "... weights worked out anew each time",
        lambda: xyz_from_spectra(NM + rng.uniform(0, 1e-6), spectra),
        lambda: spectra @ weights,
        "bare product",
    )
    xyz = xyz_from_spectra(NM, spectra)
    beside("CIELAB of 3,000 XYZ", lambda: lab_from_xyz(xyz), lambda: np.cbrt(xyz / 100), "cube root alone")
    first = slice(0, 300)
    beside(
        "dE00 of 300 pairs, together",
        lambda: delta_e_2000(one[first], two[first]),
        lambda: one_by_one(delta_e_2000, one[first], two[first]),
        "pair by pair",
    )
    beside_colour_science(one, two, xyz)
    imports()


if __name__ == "__main__":
    main()
