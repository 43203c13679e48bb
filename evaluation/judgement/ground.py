"""What a finding rests on: all that a sentence about it is made of."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from evaluation.judgement.eye import Seen
from evaluation.judgement.instrument import Graded
from evaluation.judgement.opinion import Agreement, Opinion, Pair
from evaluation.judgement.voices import SILENT, Voices
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.reach import Reach
from evaluation.sheet.layout import SheetRegion


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What a finding rests on.

    found    every metric that was worked out, by name; `keys` those that are graded
    said     what the viewings answered
    heard    question id -> its answers as grades
    reach    how far the readings lie off; None: none can be used
    read     readings of the region are in, whether or not they can be used
    unseen   faults named that no metric of the region can see
    """

    region: SheetRegion
    eye: Opinion | None = None
    instrument: Opinion | None = None
    keys: Sequence[Graded] = ()
    found: Mapping[str, Graded] = field(default_factory=dict)
    evidence: Evidence | None = None
    pairs: Sequence[Pair] = ()
    unseen: Sequence[str] = ()
    said: Voices = SILENT
    heard: Mapping[str, tuple[Seen, ...]] = field(default_factory=dict)
    reach: Reach | None = None
    read: bool = False


Explain = Callable[[Agreement, Ground], str]
