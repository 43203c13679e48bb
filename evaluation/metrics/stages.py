"""From the source's aim over what the profile expects to what was read: steps that add as vectors.

Vectors in CIELAB add, their dE00 do not, so each stands beside its own and none is a share of the whole.
Aims and readings are in the frame of the comparison, the aim's black is mapped. The step of the print holds
whatever came after the profile: the machine's drift, drying, the measurement and, without the readings it was
made from, the profile's own error. Grades use the whole; the steps only explain it.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.metrics.cast import readings_themselves
from evaluation.metrics.evidence import Array, Evidence, Mask
from evaluation.metrics.predicted import Predicted
from evaluation.sheet.layout import Patch

StepName = Literal["intent and gamut", "print", "whole"]
STEPS: Final[tuple[StepName, ...]] = ("intent and gamut", "print", "whole")
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a region: the mean of its vectors over the patches, and the mean of their dE00.

    vector    (dL*, da*, db*); those of the first two steps add up to that of the whole
    de00      over the patches that count for it: those outside the gamut are left out of the print step,
              since it is not the print that misses them; None where no patch counts
    patches   behind the vector
    counted   behind the dE00
    """

    name: StepName
    vector: Triple
    de00: float | None
    patches: int
    counted: int


@dataclass(frozen=True, slots=True)
class PaperChange:
    """The paper itself, absolute CIELAB: as the profile knows it and as it was read, with their dE00.

    Shown before the steps, which are taken relative to each side's own paper.
    """

    profile: Triple
    measured: Triple
    de00: float


@dataclass(frozen=True, slots=True, eq=False)
class PatchStages:
    """The steps patch by patch: n patches that have an aim, an expectation and a reading.

    aim, expected, measured  (n, 3) CIELAB; `aim` is the source's, also where an intent re-renders on purpose
    inside                   (n,) aims inside the gamut; all True where the gamut is not known
    """

    patches: tuple[Patch, ...]
    aim: Array
    expected: Array
    measured: Array
    inside: Mask

    def vectors(self, name: StepName) -> Array:
        """(n, 3) of one step."""
        start, end = self.ends(name)
        vectors: Array = end - start
        return vectors

    def de00(self, name: StepName) -> Array:
        """(n,) of one step."""
        return delta_e_2000(*self.ends(name))

    def ends(self, name: StepName) -> tuple[Array, Array]:
        """Where one step starts and where it ends, (n, 3) each."""
        match name:
            case "intent and gamut":
                return self.aim, self.expected
            case "print":
                return self.expected, self.measured
        return self.aim, self.measured


def paper_change(expected: Predicted | None, bare_xyz: Array) -> PaperChange | None:
    """The profile's paper against the bare paper read, XYZ (3,); None where the profile does not say."""
    if expected is None or (known := expected.paper_lab) is None:
        return None
    measured = lab_from_xyz(bare_xyz)
    return PaperChange(_triple(known), _triple(measured), float(delta_e_2000(known, measured)))


def patch_stages(evidence: Evidence) -> PatchStages | None:
    """The steps of each patch; None without a profile, or where no patch has all three colours."""
    if evidence.expected is None:
        return None
    aim = evidence.aim if evidence.source_aim is None else evidence.source_aim
    measured = readings_themselves(evidence.measured)
    known = np.isfinite(np.concatenate([aim, evidence.expected, measured], axis=1)).all(axis=1)
    if not known.any():
        return None
    inside = np.ones(len(aim), bool) if evidence.inside is None else evidence.inside
    rows = np.flatnonzero(known)
    patches = tuple(evidence.patches[row] for row in rows)
    return PatchStages(patches, aim[rows], evidence.expected[rows], measured[rows], inside[rows])


def steps(evidence: Evidence) -> tuple[Step, ...]:
    """Intent and gamut, print, and the whole of one region; () where they cannot be told."""
    found = patch_stages(evidence)
    if found is None:
        return ()
    ends = np.array([found.ends(name) for name in STEPS])
    vectors = (ends[:, 1] - ends[:, 0]).mean(axis=1)
    distances = delta_e_2000(ends[:, 0], ends[:, 1])
    told: list[Step] = []
    for name, vector, distance in zip(STEPS, vectors, distances, strict=True):
        counts = distance[found.inside] if name == "print" else distance
        mean = float(counts.mean()) if counts.size else None
        told.append(Step(name, _triple(vector), mean, len(found.patches), counts.size))
    return tuple(told)


def _triple(values: Array) -> Triple:
    one, two, three = (float(value) for value in values)
    return one, two, three
