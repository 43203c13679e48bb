"""Everything recorded about one print: the nouns of a session. Standard library only.

A session is the fold of its entries (`fold.py`); nothing here is ever changed in place.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from types import MappingProxyType
from typing import Any, Final, Literal, get_args

Use = Literal["general", "black and white", "portrait", "landscape"]
Mark = Literal["done", "not done", "does not apply"]
Intent = Literal["perceptual", "relative colorimetric", "saturation", "absolute colorimetric"]
CastWord = Literal["none", "red", "yellow", "green", "cyan", "blue", "magenta"]
Strength = Literal["just", "clear", "strong"]
ViewingKind = Literal["quick", "full"]  # a short viewing is stored as "quick"
State = Literal["describing", "preparing", "looking", "reading", "weighed", "written up", "drying"]

USES: Final[tuple[Use, ...]] = get_args(Use)
USES_IN_FULL: Final[Mapping[str, str]] = MappingProxyType(
    {
        "general": "general use",
        "black and white": "black and white",
        "portrait": "portraits",
        "landscape": "landscapes",
    }
)
MARKS: Final[tuple[Mark, ...]] = get_args(Mark)
INTENTS: Final[tuple[Intent, ...]] = get_args(Intent)
CAST_WORDS: Final[tuple[CastWord, ...]] = get_args(CastWord)
# Thirds of a tonal range, as answers, maps and documents name them, and what they are called.
THIRDS: Final = ("dark", "middle", "light")
THIRD_WORDS: Final = ("shadows", "mid-tones", "highlights")
STRENGTHS: Final[tuple[Strength, ...]] = get_args(Strength)

# ITU-R BT.500, five-grade impairment scale.
GRADE_WORDS: Final[Mapping[int, str]] = {
    5: "imperceptible",
    4: "perceptible, but not annoying",
    3: "slightly annoying",
    2: "annoying",
    1: "very annoying",
}

# Prepare, in the order of the list. The serious ones keep a verdict from being "accepted" while open.
READINESS: Final[Mapping[str, str]] = {
    "settled": "machine settled after moving",
    "nozzle_check": "nozzle check clean",
    "alignment": "heads aligned, this direction and quality",
    "media_setting": "media setting as described",
    "feed_and_side": "feed straight, right side printed",
    "dry": "dry",
    "flat": "sheet flat and unmarked",
    "viewing_light": "viewing light",
    "surround": "surround neutral grey",
    "adapted": "eyes adapted",
    "colour_vision": "colour vision known",
}
SERIOUS_READINESS: Final = ("nozzle_check", "media_setting", "dry", "viewing_light")


# A remark of a viewing on this, and on no region, sets the viewing aside: it says why.
ASIDE: Final = "viewing/aside"
# A remark of a session on this keeps its print to be graded again, to see whether an eye stays steady.
OWN_REFERENCE: Final = "own reference"


def part_words(parts: Sequence[str]) -> tuple[str, ...]:
    """What the parts of a cast are called: thirds of a range by their names, any others as they are.

    >>> part_words(("dark", "middle", "light")), part_words(("light", "medium", "deep"))
    (('shadows', 'mid-tones', 'highlights'), ('light', 'medium', 'deep'))
    """
    words = dict(zip(THIRDS, THIRD_WORDS, strict=True))
    return tuple(map(words.__getitem__, parts)) if words.keys() >= set(parts) else tuple(parts)


def for_use(use: str) -> str:
    """What a verdict is for, in a sentence; an unknown use under its own name.

    >>> for_use("portrait"), for_use("general")
    ('for portraits', 'for general use')
    """
    return f"for {USES_IN_FULL.get(use, use)}"


@dataclass(frozen=True, slots=True)
class PrintingCondition:
    """Everything that decides how the file became ink on paper. Empty text: not stated."""

    printer: str = ""
    inks: str = ""
    paper: str = ""
    media_setting: str = ""
    quality: str = ""
    direction: str = ""
    driver_mode: str = ""
    made_for: Use | None = None
    tone_wanted: str = ""
    profile: str = ""  # file name, for people
    profile_digest: str | None = None  # the document itself
    intent: Intent | None = None
    black_point_compensation: bool | None = None
    black_from: int | None = None  # the session whose black this print should reach, without a profile
    printed_at: datetime | None = None  # always with a time zone
    drying: str = ""  # rack, stack, fan, interleaf, sleeve
    sheet_code: str = ""  # as printed on the sheet; it finds the map that the sheet was drawn with
    sheet_width_mm: float | None = None
    sheet_height_mm: float | None = None
    absent: tuple[str, ...] = ()  # ids of regions that the map has and this print has not

    def __post_init__(self) -> None:
        object.__setattr__(self, "absent", tuple(self.absent))  # the log has lists


@dataclass(frozen=True, slots=True)
class Readiness:
    """One line of Prepare: its mark, when it was made, and what was measured (`lux`, `kelvin`, ...)."""

    mark: Mark | None
    at: datetime
    detail: Mapping[str, str | float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Grade:
    """5 (imperceptible) to 1 (very annoying), ITU-R BT.500 impairment scale."""

    value: int

    def __post_init__(self) -> None:
        if self.value not in GRADE_WORDS:
            raise ValueError(f"grades run from 5 to 1, not {self.value}")


@dataclass(frozen=True, slots=True)
class Count:
    """The number of a figure, step or line group as printed on the sheet; 0 is none."""

    number: int

    def __post_init__(self) -> None:
        if self.number < 0:
            raise ValueError(f"a count starts at 0, not {self.number}")


@dataclass(frozen=True, slots=True)
class Cast:
    """The cast of each part: (part, word, strength). Parts: thirds of a range, or skins, light to deep."""

    parts: tuple[tuple[str, CastWord, Strength | None], ...]

    @property
    def named(self) -> tuple[tuple[str, CastWord, Strength | None], ...]:
        """The parts under the names that people read, see `part_words`."""
        names = part_words([part for part, _, _ in self.parts])
        return tuple(
            (name, word, strength) for name, (_, word, strength) in zip(names, self.parts, strict=True)
        )


@dataclass(frozen=True, slots=True)
class Pick:
    """Printed number of a patch, or two that tie; empty is "none". `outside` names a way out of the ring."""

    numbers: tuple[int, ...]
    outside: CastWord | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """Where something was seen: (name of the ramp, tint or gradient, first step or None)."""

    places: tuple[tuple[str, int | None], ...]


@dataclass(frozen=True, slots=True)
class YesNo:
    """Yes or no: yes is what a sound print has."""

    yes: bool


Value = Grade | Count | Cast | Pick | Place | YesNo


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to one question in one viewing, and when it was given."""

    value: Value
    at: datetime
    after_reveal: bool = False  # given after the reading of its region had been shown


@dataclass(frozen=True, slots=True)
class Fault:
    """A visible defect by its trade name, in a region, with where on it."""

    name: str
    region: str
    where: str = ""


@dataclass(frozen=True, slots=True)
class Viewing:
    """One observer going once through the regions. Answers are keyed by (region id, question id)."""

    id: int
    ordinal: int
    observer: str
    kind: ViewingKind
    started: datetime
    region_order: tuple[str, ...]
    reference: int | None = None  # session whose accepted print was used as a reference
    answers: Mapping[tuple[str, str], Answer] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    faultless: frozenset[str] = frozenset()  # regions where the list of faults was answered with "none"
    look_again: frozenset[str] = frozenset()
    remarks: Mapping[str, str] = field(default_factory=dict)
    revealed: Mapping[str, datetime] = field(default_factory=dict)

    @property
    def aside(self) -> str:
        """Why a person set it aside; "" for one that counts."""
        return self.remarks.get(ASIDE, "")


def _silent(viewing: Viewing) -> Viewing:
    """Nothing of it but that it was, and why it is set aside."""
    said: dict[str, Any] = {"answers": {}, "faults": (), "faultless": frozenset()}
    return replace(viewing, **said, remarks={ASIDE: viewing.aside})


@dataclass(frozen=True, slots=True)
class Session:
    """The evaluation of one print made under one printing condition, as its live entries make it."""

    id: int
    uid: str
    sheet_digest: str
    created: datetime
    revision: int
    condition: PrintingCondition
    readiness: Mapping[str, Readiness] = field(default_factory=dict)
    timers: Mapping[str, datetime] = field(default_factory=dict)
    viewings: tuple[Viewing, ...] = ()
    remarks: Mapping[str, str] = field(default_factory=dict)  # outside Look, by step or subject
    revealed: Mapping[str, datetime] = field(default_factory=dict)  # shown before any viewing had begun
    runs: frozenset[int] = frozenset()  # runs of readings taken in and not left out again
    written: Mapping[str, datetime] = field(default_factory=dict)  # digest of an appendix -> when
    copied_from: int | None = None
    facts: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)  # for readers, by kind; never graded

    @property
    def viewing(self) -> Viewing | None:
        """The newest viewing: the one whose gate decides which readings may be seen."""
        return self.viewings[-1] if self.viewings else None

    @property
    def heard(self) -> tuple[Viewing, ...]:
        """The viewings that count: those that were not set aside."""
        return tuple(one for one in self.viewings if not one.aside)

    def counting(self) -> "Session":
        """What results and figures go by: viewings set aside say nothing. Observers keep their roles.

        The gate goes by the session as it is: whoever looks now is held to their own grades, whoever's count.
        """
        kept = list(self.viewings)
        while kept and kept[-1].aside:
            kept.pop()
        return replace(self, viewings=tuple(_silent(one) if one.aside else one for one in kept))

    def role(self, observer: str) -> str:
        """An observer by role: "observer 1" is the first who looked, in everything made of this session."""
        order = list(dict.fromkeys(viewing.observer for viewing in self.viewings))
        return f"observer {order.index(observer) + 1}"


@dataclass(frozen=True, slots=True)
class Summary:
    """What a list shows of a session without loading it, worked out whenever one of its entries changes.

    `state` is the word without the clock of drying; "drying" stands in its place until `dries_until`.
    `again` counts the regions marked for a second look.
    """

    printer: str = ""
    paper: str = ""
    printed: str = ""  # how, in two words: "profile, fine"
    printed_at: datetime | None = None
    made_for: Use | None = None
    state: State = "describing"
    dries_until: datetime | None = None
    regions: int = 0  # that have questions
    looked: int = 0  # of these, done in the newest viewing
    again: int = 0
