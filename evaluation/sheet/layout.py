"""The nouns of a reference sheet: regions, questions and patches. Standard library only, values only."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Final, Literal, get_args

# Standard RGB encodings: IEC 61966-2-1, IEC 61966-2-5, ISO 22028-4 (eciRGB v2), ISO 22028-2 (ROMM RGB).
Encoding = Literal["srgb", "oprgb", "ecirgb-v2", "romm-rgb"]
AnswerKind = Literal["grade", "count", "cast", "pick", "yesno", "place"]
PatchRole = Literal["paper", "black", "field"]
NeutralAim = Literal["paper", "line", "absolute", "toned"]
Feed = Literal["lengthwise", "across"]

ENCODINGS: Final[tuple[Encoding, ...]] = get_args(Encoding)
ANSWER_KINDS: Final[tuple[AnswerKind, ...]] = get_args(AnswerKind)
NEUTRAL_AIMS: Final[tuple[NeutralAim, ...]] = get_args(NeutralAim)
FEEDS: Final[tuple[Feed, ...]] = get_args(Feed)

Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle as fractions (0..1) of a leaf of the sheet, from its upper left corner."""

    left: float
    top: float
    width: float
    height: float
    leaf: int = 1


@dataclass(frozen=True, slots=True)
class Question:
    """One question to the eye about a region.

    look          how to look
    pairs_with    the metric that the answer is compared with, or ""
    distance      hand, arm, wall or loupe
    light         the light to look under; "" for the viewing light of the session
    grades        what the grades 5, 3 and 1 mean here
    parts         of a cast: thirds of the range, depth groups or the whole; of a pick: its series
    whole_region  whether its grade is the eye's grade of the region
    name          what lists call it; "" for its id as words
    """

    id: str
    answer: AnswerKind
    ask: str
    look: str = ""
    pairs_with: str = ""
    distance: str = ""
    light: str = ""
    grades: tuple[tuple[int, str], ...] = ()
    parts: tuple[str, ...] = ()
    whole_region: bool = False
    name: str = ""

    @property
    def called(self) -> str:
        """What lists and the line above the keys call it."""
        return "as a whole" if self.whole_region else self.name or self.id.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Patch:
    """A measurable field. `source` is before the profile and `device` after it; they are never mixed.

    region   id of its region; "" for patches of no region
    source   RGB, 0..1, in the sheet's encoding; None on maps that state CIELAB only
    device   values sent to the printer, 0..1, where known
    aim_lab  CIELAB for D50 as the map states it (a measured chart); None: calculated from `source`
    series   the ramp, depth of skin or ring group it belongs to ("blue", "deep 2", "dark")
    step     its place in the series, from 1
    """

    id: str
    name: str
    region: str
    role: PatchRole = "field"
    source: Triple | None = None
    device: tuple[float, ...] | None = None
    aim_lab: Triple | None = None
    area: Area | None = None
    series: str = ""
    step: int | None = None

    @property
    def group(self) -> str:
        """The first word of the series, which several share: the depth group of "deep 2" is "deep"."""
        return self.series.partition(" ")[0]


@dataclass(frozen=True, slots=True)
class SheetRegion:
    """One area of the sheet that shows one quality.

    number   as printed on the sheet; None for a region without one
    kind     key of its questions and anchors: "neutral", "skin", "mono_tone", ...
    metrics  those that may be calculated for it
    """

    id: str
    number: int | None
    kind: str
    title: str
    shows: str
    area: Area | None
    questions: tuple[Question, ...]
    faults: tuple[str, ...]
    patch_ids: tuple[str, ...]
    metrics: tuple[str, ...]

    @property
    def whole(self) -> Question | None:
        """The question whose grade is the eye's grade of the region."""
        return next((question for question in self.questions if question.whole_region), None)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A reference sheet as its map describes it; paper and black are named by the map, never guessed.

    digest   sha256 of the map's text
    size_mm  width, height
    seed     of the shuffled ring-around; None without one
    feed     the longer side runs along the feed (lengthwise) or across it; None where the map does not say
    absent   regions that the map has and the print in hand has not
    """

    digest: str
    title: str
    code: str
    encoding: Encoding | None
    size_mm: tuple[float, float]
    neutral_aim: NeutralAim
    regions: tuple[SheetRegion, ...]
    patches: tuple[Patch, ...]
    paper_patch: str | None
    black_patch: str | None
    seed: int | None = None
    feed: Feed | None = None
    absent: tuple[SheetRegion, ...] = ()
    _by_id: Mapping[str, Patch] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        by_id = {patch.id: patch for patch in reversed(self.patches)}  # the first of a doubled id
        object.__setattr__(self, "_by_id", by_id)

    def region(self, region_id: str) -> SheetRegion:
        """The region of that id. Raises KeyError."""
        for region in self.regions:
            if region.id == region_id:
                return region
        raise KeyError(region_id)

    def without(self, absent: Collection[str]) -> "Sheet":
        """The sheet of a print that lacks these regions; their patches belong to no region."""
        return replace(
            self,
            regions=tuple(region for region in self.regions if region.id not in absent),
            absent=tuple(region for region in self.regions if region.id in absent),
            patches=tuple(
                replace(patch, region="") if patch.region in absent else patch for patch in self.patches
            ),
        )

    def patch(self, patch_id: str) -> Patch:
        """The patch of that id. Raises KeyError."""
        return self._by_id[patch_id]
