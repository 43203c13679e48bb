"""The way from the source's aim over the profile's prediction to the reading, in stages that add as vectors.

Vectors in CIELAB add up, their dE00 do not, so each stands beside its own and none is a share of the whole.
Aims and readings are in the frame of the comparison, the aim after black point compensation. The stage
"print" holds whatever comes after the profile: drift of the machine, drying, measurement and, without the
profiling data, the profile's own error. Grades use the whole; the stages only explain it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.metrics.cast import readings_themselves
from evaluation.metrics.evidence import Array, Evidence, Mask
from evaluation.metrics.predicted import Predicted
from evaluation.sheet.layout import Patch

StageName = Literal["intent and gamut", "print", "whole"]
STAGES: Final[tuple[StageName, ...]] = ("intent and gamut", "print", "whole")
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of a region: the mean vector of its patches, and their mean dE00.

    vector   (dL*, da*, db*); those of the first two stages add up to that of the whole
    de00     of the patches that count: those outside the gamut are left out of "print", since it is not the
             print that misses them; None where no patch counts
    patches  of the vector
    counted  patches of the dE00
    """

    name: StageName
    vector: Triple
    de00: float | None
    patches: int
    counted: int

    @property
    def behind(self) -> str:
        """How many patches the stage rests on: "96", or "54 of 96" where its dE00 rests on fewer."""
        return str(self.counted) if self.counted == self.patches else f"{self.counted} of {self.patches}"


@dataclass(frozen=True, slots=True)
class PaperChange:
    """The paper itself, absolute CIELAB: as stated by the profile and as read, with their dE00.

    Shown before the stages, which are relative to each side's own paper.
    """

    profile: Triple
    measured: Triple
    de00: float


@dataclass(frozen=True, slots=True, eq=False)
class PatchStages:
    """The stages patch by patch, of the n patches that have an aim, a prediction and a reading.

    aim, predicted, measured  (n, 3) CIELAB; `aim` is the source's, also under an intent that re-renders
    inside                    (n,) aims inside the gamut; all True where it is not known
    """

    patches: tuple[Patch, ...]
    aim: Array
    predicted: Array
    measured: Array
    inside: Mask

    def vectors(self, name: StageName) -> Array:
        """(n, 3) dL*, da*, db* of one stage."""
        start, end = self.ends(name)
        vectors: Array = end - start
        return vectors

    def de00(self, name: StageName) -> Array:
        """(n,) dE00 of one stage."""
        return delta_e_2000(*self.ends(name))

    def ends(self, name: StageName) -> tuple[Array, Array]:
        """Start and end of one stage, (n, 3) CIELAB each."""
        match name:
            case "intent and gamut":
                return self.aim, self.predicted
            case "print":
                return self.predicted, self.measured
        return self.aim, self.measured


def paper_change(predicted: Predicted | None, bare_xyz: Array) -> PaperChange | None:
    """The paper of the profile beside the bare paper read, XYZ (3,); None where the profile states none."""
    if predicted is None or (known := predicted.paper_lab) is None:
        return None
    measured = lab_from_xyz(bare_xyz)
    return PaperChange(_triple(known), _triple(measured), float(delta_e_2000(known, measured)))


def patch_stages(evidence: Evidence) -> PatchStages | None:
    """The stages of each patch; None without a prediction, or where no patch has all three colours."""
    if evidence.predicted is None:
        return None
    aim = evidence.aim if evidence.source_aim is None else evidence.source_aim
    measured = readings_themselves(evidence.measured)
    known = np.isfinite(np.concatenate([aim, evidence.predicted, measured], axis=1)).all(axis=1)
    if not known.any():
        return None
    inside = np.ones(len(aim), bool) if evidence.inside is None else evidence.inside
    rows = np.flatnonzero(known)
    patches = tuple(evidence.patches[row] for row in rows)
    return PatchStages(patches, aim[rows], evidence.predicted[rows], measured[rows], inside[rows])


def stages(regions: Mapping[str, Evidence]) -> dict[str, tuple[Stage, ...]]:
    """The stages "intent and gamut", "print" and "whole" of each region, which are missing without predicted
    readings. Their distances are worked out together, in the time of one region.
    """
    found = {name: own for name, evidence in regions.items() if (own := patch_stages(evidence)) is not None}
    if not found:
        return {}
    ends = np.concatenate([[own.ends(name) for name in STAGES] for own in found.values()], axis=2)
    distances = delta_e_2000(ends[:, 0], ends[:, 1])
    places = np.cumsum([len(own.patches) for own in found.values()])[:-1]
    parts = zip(np.split(ends, places, axis=2), np.split(distances, places, axis=1), strict=True)
    return {name: _stages(own, *part) for (name, own), part in zip(found.items(), parts, strict=True)}


def _stages(found: PatchStages, ends: Array, distances: Array) -> tuple[Stage, ...]:
    """Of one region; `ends` (3, 2, n, 3) and `distances` (3, n) of its patches by stage."""
    vectors = (ends[:, 1] - ends[:, 0]).mean(axis=1)
    found_stages: list[Stage] = []
    for name, vector, distance in zip(STAGES, vectors, distances, strict=True):
        counts = distance[found.inside] if name == "print" else distance
        mean = float(counts.mean()) if counts.size else None
        found_stages.append(Stage(name, _triple(vector), mean, len(found.patches), counts.size))
    return tuple(found_stages)


def _triple(values: Array) -> Triple:
    one, two, three = (float(value) for value in values)
    return one, two, three
